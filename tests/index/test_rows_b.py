"""Faults in the shop folder (rows B of the reliability table)."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from benchlore.errors import NEEDS_A_LOOK
from benchlore.index.files import list_notes, read_content
from benchlore.search.results import Question
from shops import ShopFolder

HUM = "---\nsymptom: Hum from the rear above 50 km/h\n---\nHums like a tyre.\n"

WITHOUT_POWER = [
    "setpriv",
    "--bounding-set=-dac_override,-dac_read_search",
    "--inh-caps=-dac_override,-dac_read_search",
]
"""Root reads every file; without these two powers it does not."""


def found(shop: ShopFolder, text: str) -> list[str]:
    return [hit.note.path for hit in shop.engine().find(Question(text)).cases]


def test_b02_a_symlink_loop_is_visited_once_and_named_once(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/a/hum.md", HUM)
    (shop_folder.root / "kb/a/up").symlink_to("..")
    (shop_folder.root / "kb/self").symlink_to("self")
    done = shop_folder.run("build")
    assert done.returncode == NEEDS_A_LOOK
    lines = done.stderr.decode().splitlines()
    assert sum("kb/a/up" in line for line in lines) == 1
    assert sum("kb/self: a link that leads to itself" in line for line in lines) == 1
    assert found(shop_folder, "hum") == ["kb/a/hum.md"]


@pytest.mark.parametrize("target", ["/etc/passwd", "../../outside.md"])
def test_b03_a_link_out_of_the_shop_is_not_opened(
    shop_folder: ShopFolder, tmp_path: Path, target: str
) -> None:
    (tmp_path / "outside.md").write_text("# a secret hum\n")
    (shop_folder.root / "kb/link.md").symlink_to(target)
    shop_folder.write("kb/hum.md", HUM)
    done = shop_folder.run("build")
    assert done.returncode == NEEDS_A_LOOK
    assert b"kb/link.md: leads outside the shop folder; not opened" in done.stderr
    assert found(shop_folder, "a secret hum") == ["kb/hum.md"]


def test_b03_a_folder_linked_from_outside_is_not_opened(
    shop_folder: ShopFolder, tmp_path: Path
) -> None:
    (tmp_path / "outside").mkdir()
    (tmp_path / "outside" / "a.md").write_text("# a secret hum\n")
    (shop_folder.root / "kb/link").symlink_to(tmp_path / "outside")
    listing = list_notes(shop_folder.root)
    assert not listing.files
    assert [t.what for t in listing.troubles] == ["leads outside the shop folder"]


def test_b03_show_does_not_leave_the_shop(shop_folder: ShopFolder, tmp_path: Path) -> None:
    (tmp_path / "outside.md").write_text("# a secret hum\n")
    done = shop_folder.run("show", str(tmp_path / "outside.md"))
    assert done.returncode == 2
    assert b"leads outside the shop folder: not opened" in done.stderr
    assert b"secret" not in done.stdout


def test_b04_what_is_not_a_plain_file_is_named_and_never_waited_on(
    shop_folder: ShopFolder,
) -> None:
    os.mkfifo(shop_folder.root / "kb/pipe.md")
    (shop_folder.root / "kb/folder.md").mkdir()
    os.mknod(shop_folder.root / "kb/device.txt", 0o600 | 0o020000, os.makedev(1, 5))
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind(str(shop_folder.root / "kb/socket.md"))
    shop_folder.write("kb/hum.md", HUM)
    done = shop_folder.run("build")
    assert done.returncode == NEEDS_A_LOOK
    for name in ("pipe.md", "folder.md", "device.txt", "socket.md"):
        assert f"kb/{name}: not a plain file".encode() in done.stderr
    assert found(shop_folder, "hum") == ["kb/hum.md"]


def test_b04_a_pipe_that_replaces_a_listed_file_is_not_waited_on(shop_folder: ShopFolder) -> None:
    os.mkfifo(shop_folder.root / "kb/pipe.md")
    with pytest.raises(OSError, match="not a plain file"):
        read_content(shop_folder.root, "kb/pipe.md")


def build_without_power(shop: ShopFolder) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [*WITHOUT_POWER, sys.executable, "-m", "benchlore", "--shop", str(shop.root), "build"],
        capture_output=True,
        timeout=60,
        check=False,
    )


@pytest.mark.skipif(
    os.geteuid() == 0 and not shutil.which("setpriv"), reason="B5: setpriv is missing"
)
@pytest.mark.parametrize("closed", ["kb/shut.md", "kb/shut"])
def test_b05_what_cannot_be_read_again_is_kept_and_marked(
    shop_folder: ShopFolder, closed: str
) -> None:
    inside = "kb/shut.md" if closed.endswith(".md") else "kb/shut/note.md"
    shop_folder.write(inside, HUM)
    shop_folder.write("kb/open.md", "# Brakes squeal\n")
    shop_folder.build()
    target = shop_folder.root / closed
    target.chmod(0)
    try:
        probe = subprocess.run([*WITHOUT_POWER, "ls", str(target)], capture_output=True)
        probe = (
            probe
            if target.is_dir()
            else subprocess.run([*WITHOUT_POWER, "cat", str(target)], capture_output=True)
        )
        assert probe.returncode, "the fault does not bite: the file can still be read"
        shop_folder.write("kb/open.md", "# Brakes squeal in the morning\n")
        done = build_without_power(shop_folder)
        again = build_without_power(shop_folder)
    finally:
        target.chmod(0o700)
    assert done.returncode == NEEDS_A_LOOK
    assert f"{closed}: not readable: no permission".encode() in done.stderr
    assert again.returncode == NEEDS_A_LOOK and b"nothing had changed" in again.stdout
    answer = shop_folder.engine().find(Question("hum from the rear"))
    assert answer.cases[0].note.path == inside
    assert answer.cases[0].unread == "not readable: no permission"
    assert b"not read again" in shop_folder.run("find", "hum from the rear").stdout
    shop_folder.build()
    assert not shop_folder.engine().find(Question("hum from the rear")).cases[0].unread


def test_b09_an_edit_with_the_same_size_and_time_is_seen(shop_folder: ShopFolder) -> None:
    file = shop_folder.write("kb/a.txt", "squeal from the left\n")
    shop_folder.build()
    before = file.stat()
    file.write_text("rumble from the rear\n"[: before.st_size].ljust(before.st_size))
    os.utime(file, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert file.stat().st_size == before.st_size
    assert shop_folder.build().read == 1
    hit = shop_folder.engine().find(Question("rumble")).cases[0]
    assert hit.passages[0].text.startswith("rumble")


def test_b16_a_note_gone_since_the_build_is_said_to_be_gone(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/hum.md", HUM)
    shop_folder.write("kb/other.md", "# Brakes squeal\n")
    shop_folder.build()
    (shop_folder.root / "kb/hum.md").unlink()
    done = shop_folder.run("find", "hum from the rear")
    assert done.returncode == 0
    assert b"kb/hum.md (gone since the index was built)" in done.stdout
    assert b"1 note changed since the index was built: benchlore build" in done.stderr
    shown = shop_folder.run("show", "hum")
    assert shown.returncode == 4
    assert b"kb/hum.md is gone since the index was built" in shown.stderr


def test_b16_a_moved_note_is_followed_and_nothing_is_encoded(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/hum.md", HUM)
    shop_folder.build()
    (shop_folder.root / "kb/2024").mkdir()
    (shop_folder.root / "kb/hum.md").rename(shop_folder.root / "kb/2024/moved.md")
    result = shop_folder.build()
    assert (result.read, result.removed, result.encoded) == (1, 1, 0)
    hit = shop_folder.engine().find(Question("hum")).cases[0]
    assert hit.note.path == "kb/2024/moved.md"
    assert hit.note.case == "moved"


def test_b13_a_file_name_that_is_not_utf8_is_shown_and_opens(shop_folder: ShopFolder) -> None:
    name = os.fsencode(shop_folder.root) + b"/kb/\xff.md"
    Path(os.fsdecode(name)).write_text(HUM)
    done = shop_folder.run("build")
    assert done.returncode == 0, done.stderr
    assert rb"kb/\xff.md:" in shop_folder.run("find", "hum").stdout
    assert shop_folder.run("show", os.fsdecode(b"\xff")).returncode == 0


def test_ctrl_c_in_a_build_ends_with_130(shop_folder: ShopFolder) -> None:
    for number in range(300):
        shop_folder.write(f"kb/{number}.txt", f"noise {number} from the rear axle\n" * 20)
    process = subprocess.Popen(
        [sys.executable, "-m", "benchlore", "--shop", str(shop_folder.root), "build"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert process.stderr is not None
    for line in process.stderr:
        if b"sentence model" in line:
            process.send_signal(signal.SIGINT)
            break
    _, rest = process.communicate(timeout=60)
    assert process.returncode == 130
    assert b"Traceback" not in rest
