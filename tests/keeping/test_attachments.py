"""Files beside a note: where they lie, what they are, the viewer, copying them in."""

from __future__ import annotations

import errno
import os
import shutil
import signal
import stat
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from benchlore.errors import NOT_WRITTEN, UNUSABLE, BenchloreError, NotWritten, NoViewer
from benchlore.index.files import list_notes
from benchlore.keeping import attachments, plain_files
from benchlore.keeping.attachments import attach, attachments_of, place_of, size_words
from benchlore.keeping.file_kinds import KINDS, kind_of
from benchlore.keeping.viewer import open_command, open_file
from benchlore.notes import read_note
from benchlore.notes.compose import compose
from benchlore.notes.writer import NO_FILE, write_file
from hostile import BIDI, BRACKETS, ESCAPES
from shops import REPOSITORY

NOTE = "kb/2025/hum.md"
PNG = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR"
JPEG = b"\xff\xd8\xff\xe0\0\x10JFIF\0"
ELF = b"\x7fELF\x02\x01\x01" + bytes(60)
SCRIPT = b"#!/bin/sh\ntouch /tmp/was-run\n"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    (tmp_path / "shop" / "kb" / "2025").mkdir(parents=True)
    (tmp_path / "shop" / NOTE).write_text("hum\n")
    return tmp_path / "shop"


@pytest.fixture
def started(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[tuple[Any, dict[str, Any]]]:
    """What would have been started: the arguments of Popen. A viewer is there, and a screen."""
    calls: list[tuple[Any, dict[str, Any]]] = []

    class Recorded:
        def __init__(self, command: object, **options: object) -> None:
            calls.append((command, options))

        def wait(self, timeout: float | None = None) -> int:
            return 0

    tools = tmp_path / "bin"
    tools.mkdir()
    (tools / "xdg-open").write_text("#!/bin/sh\n")
    (tools / "xdg-open").chmod(0o755)
    monkeypatch.setenv("PATH", str(tools))
    monkeypatch.setenv("DISPLAY", ":0")
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setattr(subprocess, "Popen", Recorded)
    return calls


@pytest.fixture
def five_seconds() -> Iterator[None]:
    """Ends a test that waits on a pipe."""
    signal.signal(signal.SIGALRM, lambda *_: pytest.fail("it waited"))
    signal.alarm(5)
    yield
    signal.alarm(0)


def put(root: Path, name: str, data: bytes = PNG) -> Path:
    file = root / "kb" / "2025" / name
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_bytes(data)
    return file


def test_a_file_beside_the_note_is_there(root: Path) -> None:
    file = put(root, "hum-files/hub.png")
    found = place_of(root, NOTE, "hum-files/hub.png")
    assert (found.path, found.state, found.kind) == (file.resolve(), "there", "image")
    assert found.says == "image, 16 bytes"
    assert not found.needs_a_look


def test_a_place_is_relative_to_the_notes_own_folder(root: Path) -> None:
    (root / "kb" / "photos").mkdir()
    (root / "kb" / "photos" / "hub.png").write_bytes(PNG)
    assert place_of(root, NOTE, "../photos/hub.png").state == "there"
    assert place_of(root, "kb/top.md", "photos/hub.png").state == "there"
    assert place_of(root, NOTE, "photos/hub.png").state == "missing"


def test_a_file_that_is_gone_is_missing(root: Path) -> None:
    put(root, "plain.png")
    for written in ("gone.jpg", "no/such/folder.jpg", "plain.png/below.jpg", "nul\0.jpg"):
        found = place_of(root, NOTE, written)
        assert (found.state, found.says, found.path) == ("missing", "missing", None)
        assert found.needs_a_look


def test_b12_a_name_in_other_capitals_or_accent_coding_is_found(root: Path) -> None:
    file = put(root, "Ku\u0308hler.PNG")  # as some systems list it: u and the mark by themselves
    assert place_of(root, NOTE, "k\u00fchler.png").path == file.resolve()
    put(root, "a.png"), put(root, "A.PNG")
    assert place_of(root, NOTE, "A.png").state == "missing"  # two of them: none is guessed


@pytest.mark.parametrize(
    "written",
    [
        "../../../secret.png",
        "/etc/passwd",
        "\\\\server\\share\\x.png",
        "C:\\x.png",
        "d:x.png",
        "..",
    ],
)
def test_b03_a_place_out_of_the_shop_is_not_opened(root: Path, written: str) -> None:
    (root.parent / "secret.png").write_bytes(PNG)
    found = place_of(root, "kb/2025/hum.md" if written != ".." else "top.md", written)
    assert found.state == "outside"
    assert found.says == "leads outside the shop folder: not opened"
    assert found.path is None
    with pytest.raises(BenchloreError, match="leads outside"):
        open_command(found)


def test_b03_a_link_out_of_the_shop_is_not_followed(root: Path) -> None:
    (root.parent / "secret.png").write_bytes(PNG)
    folder = root / "kb" / "2025"
    (folder / "link.png").symlink_to("../../../secret.png")
    (folder / "away").symlink_to(root.parent)
    assert place_of(root, NOTE, "link.png").state == "outside"
    assert place_of(root, NOTE, "away/secret.png").state == "outside"


def test_b03_a_folder_that_begins_like_the_shops_is_outside(root: Path) -> None:
    other = root.with_name("shop-2")
    other.mkdir()
    (other / "x.png").write_bytes(PNG)
    assert place_of(root, NOTE, "../../../shop-2/x.png").state == "outside"


def test_b03_a_link_inside_the_shop_is_followed(root: Path) -> None:
    file = put(root, "real.png")
    (root / "kb" / "2025" / "link.jpg").symlink_to("real.png")
    found = place_of(root, NOTE, "link.jpg")
    assert (found.path, found.state) == (file.resolve(), "there")


def test_b03_what_a_link_leads_to_counts_not_what_it_is_called(root: Path) -> None:
    put(root, "run.sh", SCRIPT)
    (root / "kb" / "2025" / "link.jpg").symlink_to("run.sh")
    assert place_of(root, NOTE, "link.jpg").state == "not opened: kind"


def test_b03_a_file_replaced_by_a_link_after_listing_is_not_opened(
    root: Path, started: list[Any]
) -> None:
    file = put(root, "hub.png")
    (root.parent / "secret.png").write_bytes(PNG)
    found = place_of(root, NOTE, "hub.png")
    file.unlink()
    file.symlink_to(root.parent / "secret.png")
    with pytest.raises(BenchloreError, match="leads outside"):
        open_file(found)
    file.unlink()
    file.write_bytes(ELF)
    with pytest.raises(BenchloreError, match="not opened"):
        open_file(found)
    assert started == []


def test_b02_links_in_a_ring_end(root: Path) -> None:
    folder = root / "kb" / "2025"
    (folder / "a.png").symlink_to("b.png")
    (folder / "b.png").symlink_to("a.png")
    assert place_of(root, NOTE, "a.png").state in ("not a file", "outside")


@pytest.mark.usefixtures("five_seconds")
def test_b04_pipes_sockets_devices_and_folders_are_not_plain_files(root: Path) -> None:
    folder = root / "kb" / "2025"
    os.mkfifo(folder / "pipe.png")
    (folder / "folder.png").mkdir()
    for name in ("pipe.png", "folder.png", "."):
        found = place_of(root, NOTE, name)
        assert (found.state, found.path) == ("not a file", None), name
        assert found.says == "not a plain file: not opened"
    with pytest.raises(NotWritten, match="not a plain file"):
        attach(root, NOTE, folder / "pipe.png")


@pytest.mark.usefixtures("five_seconds")
def test_b04_a_pipe_in_a_files_place_is_not_waited_on(root: Path) -> None:
    os.mkfifo(root / "pipe.png")  # put there after it was looked at
    with pytest.raises(OSError) as raised:
        plain_files.read_head(root / "pipe.png")
    assert raised.value.errno == errno.EINVAL


def test_b05_a_file_without_permission_says_so(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    put(root, "hub.png")

    def refused(path: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(attachments, "read_head", refused)
    found = place_of(root, NOTE, "hub.png")
    assert (found.state, found.says) == ("not readable", "not readable: no permission")


@pytest.mark.parametrize(
    "written",
    ["http://x.invalid/a.png", "https://x.invalid", "file:///etc/passwd", "file:a.png",
     "javascript:alert(1)", "mailto:a@b.invalid", "data:image/png;base64,AA==", "ms-settings:x"],
)  # fmt: skip
def test_an_address_is_no_file(root: Path, written: str) -> None:
    found = place_of(root, NOTE, written)
    assert found.state == "not a place"
    assert found.says == "an address, not a file beside the note: not opened"


def test_back_slashes_and_nothing_at_all_are_told(root: Path) -> None:
    assert "write / between" in place_of(root, NOTE, "photos\\hub.png").says
    assert place_of(root, NOTE, "  ").says == "no file is named: not opened"


HEADS = {
    ".jpg": JPEG,
    ".jpeg": JPEG,
    ".png": PNG,
    ".gif": b"GIF89a\x01\0\x01\0",
    ".webp": b"RIFF\x24\0\0\0WEBPVP8 ",
    ".tif": b"II*\0\x08\0\0\0",
    ".tiff": b"MM\0*\0\0\0\x08",
    ".heic": b"\0\0\0\x18ftypheic",
    ".heif": b"\0\0\0\x18ftypmif1",
    ".wav": b"RIFF\x24\0\0\0WAVEfmt ",
    ".mp3": b"\xff\xfb\x90\x64",
    ".m4a": b"\0\0\0\x20ftypM4A ",
    ".ogg": b"OggS\0\x02",
    ".oga": b"OggS\0\x02",
    ".opus": b"OggS\0\x02",
    ".flac": b"fLaC\0\0\0\x22",
    ".mp4": b"\0\0\0\x20ftypisom",
    ".m4v": b"\0\0\0\x20ftypM4V ",
    ".mov": b"\0\0\0\x14ftypqt  ",
    ".webm": b"\x1a\x45\xdf\xa3\x9f",
    ".pdf": b"%PDF-1.7\n",
    ".txt": b"gr\xfc\xdfe, 3,2 bar\n",
    ".csv": "Zeit;Öldruck\n0,1;3,2\n".encode("utf-16"),
}
"""How real files of each kind begin, from memory; see `test_small_images` for files that the
picture library wrote."""


def test_every_known_kind_is_told_by_its_first_bytes_and_only_its_own() -> None:
    assert set(HEADS) == set(KINDS)
    for ending, head in HEADS.items():
        assert kind_of(f"x{ending.upper()}", head)[1] == "", ending
        for other in (
            ELF,
            SCRIPT,
            b"MZ\x90\0\x03\0",
            b"PK\x03\x04",
            b"\xd0\xcf\x11\xe0",
            b"\0" * 9,
        ):
            kind, why = kind_of(f"x{ending}", other)
            assert kind == "other", (ending, other)
            assert why == f"named {ending}, but its content is not {KINDS[ending].name}: not opened"


@pytest.mark.parametrize(
    "name",
    ["a.sh", "a.exe", "a.desktop", "a.html", "a.svg", "a.lnk", "a.url", "a.bat", "a.py", "a.jar",
     "a.docm", "a.jpg.exe", "a.jpg ", "a.jpg.", "a", ".jpg", "jpg", "a.md", "a.zip", "a.xlsx"],
)  # fmt: skip
def test_other_kinds_are_listed_and_not_opened(root: Path, name: str) -> None:
    put(root, name, JPEG)
    found = place_of(root, NOTE, name)
    assert (found.state, found.kind) == ("not opened: kind", "other")
    assert found.says.endswith("is no picture, sound, film, PDF or plain text: not opened")
    assert not found.needs_a_look
    with pytest.raises(BenchloreError):
        open_command(found)


@pytest.mark.parametrize(
    "text",
    [b"#!/bin/sh\nrm x\n", b"\n  <html><script>", b"\xef\xbb\xbf<svg>", "<html>".encode("utf-16"),
     b"[Desktop Entry]\nExec=x\n", b"[InternetShortcut]\nURL=x", b"@echo off\r\n",
     b"a\0b", b"\x1b[2J"],
)  # fmt: skip
def test_a_script_page_or_shortcut_named_txt_is_not_opened(root: Path, text: bytes) -> None:
    put(root, "a.txt", text)
    assert place_of(root, NOTE, "a.txt").state == "not opened: kind"


def test_an_empty_picture_is_not_opened(root: Path) -> None:
    put(root, "a.png", b"")
    assert place_of(root, NOTE, "a.png").says == "empty: not opened"


@pytest.mark.parametrize(("data", "is_mp3"), [
    (b"ID3\x04\0", True), (b"\xff\xf3\x84\xc4", True), (b"\xff\xe3\x18\xc4", True),
    (b"\xff\xeb\x90\x64", False), (b"\xff\xfd\x90\x64", False), (b"\xff\xd8\xff\xe0", False),
    (b"\xff\xfb\xf0\x64", False), (b"\xff\xfb\x9c\x64", False), (b"\xff\xfb", False),
])  # fmt: skip
def test_an_mp3_frame_is_told_from_other_bytes(data: bytes, is_mp3: bool) -> None:
    """By the frame header's table in ISO/IEC 11172-3, from memory: layer II, reserved rates and
    JPEG are no MP3."""
    assert (kind_of("a.mp3", data)[1] == "") is is_mp3


def test_sizes_in_words() -> None:
    sizes = {0: "0 bytes", 999: "999 bytes", 1000: "1 kB", 999_499: "999 kB", 999_500: "1.0 MB",
             1_234_567: "1.2 MB", 999_949_999: "999.9 MB", 5_000_000_000: "5.0 GB"}  # fmt: skip
    assert {size: size_words(size) for size in sizes} == sizes


# The viewer


def names() -> list[str]:
    """Hostile names that a file on Linux may have; back slashes are refused in any case."""
    text = [*ESCAPES, *BIDI, *BRACKETS]
    made = [f"x{each.replace('/', '_')}.png" for each in text]
    made = [each.replace("\\", "_") for each in made]
    return [*made, "-rf.png", "--help.png", "a\nb.png", "$(touch x).png", "`x`;x&x|x.png",
            "%s %f.png", "a b 'c' \"d\".png", "~.png", "\udcff\udc9b.png"]  # fmt: skip


@pytest.mark.parametrize("name", names())
def test_d01_hostile_names_reach_the_viewer_as_one_absolute_path(
    root: Path, started: list[tuple[list[str], dict[str, Any]]], name: str
) -> None:
    put(root, os.fsdecode(os.fsencode(name)))
    found = place_of(root, NOTE, name)
    assert found.state == "there"
    open_file(found)
    [(command, options)] = started
    assert len(command) == 2
    assert command[0].endswith("/bin/xdg-open")
    assert command[1] == os.path.join(os.path.realpath(root), "kb/2025", name)
    assert not options.get("shell")
    assert options["start_new_session"] is True
    for stream in ("stdin", "stdout", "stderr"):
        assert options[stream] == subprocess.DEVNULL


@pytest.mark.parametrize("data", [ELF, SCRIPT, b"MZ\x90\0", b"[Desktop Entry]\nExec=touch x\n"])
def test_a_program_called_a_picture_starts_nothing(
    root: Path, started: list[Any], data: bytes
) -> None:
    put(root, "photo.jpg", data).chmod(0o755)
    found = place_of(root, NOTE, "photo.jpg")
    assert found.says == "named .jpg, but its content is not JPEG: not opened"
    with pytest.raises(BenchloreError, match="not opened"):
        open_file(found)
    assert started == []


def test_an_executable_bit_changes_nothing(root: Path, started: list[Any]) -> None:
    put(root, "photo.jpg", JPEG).chmod(0o755)
    open_file(place_of(root, NOTE, "photo.jpg"))
    assert [os.path.basename(command[0]) for command, _ in started] == ["xdg-open"]


def test_a_mac_and_windows_have_their_own_way(
    root: Path, started: list[Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    found = place_of(root, NOTE, put(root, "-a.png").name)
    monkeypatch.setattr(sys, "platform", "darwin")
    assert open_command(found) == ["/usr/bin/open", str(found.path)]
    opened: list[str] = []
    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.setattr(os, "startfile", opened.append, raising=False)
    open_file(found)
    assert opened == [str(found.path)]
    assert started == []


def test_without_a_viewer_the_place_is_told(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = put(root, "hub.png").resolve()
    found = place_of(root, NOTE, "hub.png")
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("DISPLAY", ":0")
    monkeypatch.setenv("PATH", str(root))
    with pytest.raises(NoViewer) as raised:
        open_file(found)
    assert str(raised.value) == f"no viewer found: the file lies at {file}"
    assert raised.value.exit_code == UNUSABLE


def test_without_a_screen_no_viewer_is_started(
    root: Path, started: list[Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    put(root, "hub.png")
    monkeypatch.delenv("DISPLAY")
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    with pytest.raises(NoViewer, match="no screen to show it on: the file lies at"):
        open_file(place_of(root, NOTE, "hub.png"))
    assert started == []


def test_a_program_of_the_viewers_name_in_the_shop_is_not_used(
    root: Path, started: list[Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    planted = put(root, "xdg-open", SCRIPT)
    planted.chmod(0o755)
    put(root, "hub.png")
    monkeypatch.chdir(planted.parent)
    monkeypatch.setenv("PATH", ":.:")
    with pytest.raises(NoViewer):
        open_file(place_of(root, NOTE, "hub.png"))
    assert started == []


def real_viewer(folder: Path, text: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A viewer that is really started."""
    folder.mkdir()
    (folder / "xdg-open").write_text(f"#!/bin/sh\n{text}\n")
    (folder / "xdg-open").chmod(0o755)
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("PATH", f"{folder}:{os.environ['PATH']}")
    monkeypatch.setenv("DISPLAY", ":0")


def test_a_viewer_that_fails_is_told(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real_viewer(root.parent / "bin", "exit 3", monkeypatch)
    put(root, "hub.png")
    with pytest.raises(NoViewer, match="no viewer opened it: the file lies at"):
        open_file(place_of(root, NOTE, "hub.png"))


def test_a_viewer_gets_a_session_of_its_own_and_no_terminal(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = root.parent / "seen"
    tells = 'echo "$1"; ps -o sid= -p $$; readlink /proc/$$/fd/0 /proc/$$/fd/3; pwd'
    text = f"exec 3>&1\n{{ {tells}; }} > {out}"  # 3 is what standard output was
    real_viewer(root.parent / "bin", text, monkeypatch)
    put(root, "hub.png")
    found = place_of(root, NOTE, "hub.png")
    open_file(found)
    path, session, stdin, stdout, where = out.read_text().split("\n")[:5]
    assert path == str(found.path)
    assert int(session) != os.getsid(0)
    assert (stdin, stdout, where) == ("/dev/null", "/dev/null", "/")


# Copying one in


def test_a_photo_is_copied_beside_its_note(root: Path, tmp_path: Path) -> None:
    source = tmp_path / "IMG_0012 (1).JPG"
    source.write_bytes(JPEG * 1000)
    source.chmod(0o777)
    written = attach(root, NOTE, source)
    assert written == "hum-files/img-0012-1.jpg"
    copy = root / "kb/2025" / written
    assert copy.read_bytes() == JPEG * 1000
    assert not copy.stat().st_mode & 0o111
    assert place_of(root, NOTE, written).state == "there"
    assert source.exists()


def test_a_taken_name_gets_a_number_and_nothing_is_overwritten(root: Path, tmp_path: Path) -> None:
    source = tmp_path / "hub.png"
    written = []
    for number in range(3):
        source.write_bytes(PNG + bytes([number]))
        written.append(attach(root, NOTE, source))
    assert written == [f"hum-files/hub{more}.png" for more in ("", "-2", "-3")]
    data = [(root / "kb/2025" / each).read_bytes() for each in written]
    assert data == [PNG + bytes([number]) for number in range(3)]


def test_b12_a_name_in_other_capitals_is_taken(root: Path, tmp_path: Path) -> None:
    put(root, "hum-files/HUB.PNG", b"old")
    (tmp_path / "hub.png").write_bytes(PNG)
    assert attach(root, NOTE, tmp_path / "hub.png") == "hum-files/hub-2.png"


@pytest.mark.parametrize(
    "name", [*names(), "a\\b.png", "CON.png", "a" * 200 + ".png", "x.tar.gz9999999999"]
)
def test_d01_whatever_a_source_is_called_its_place_is_good_in_a_note(
    root: Path, tmp_path: Path, name: str
) -> None:
    source = tmp_path / os.fsdecode(os.fsencode(name))
    source.write_bytes(PNG)
    written = attach(root, NOTE, source)
    assert written.isprintable() and written.isascii() and len(written) < 100
    note = read_note(NOTE, compose({"symptom": "hum", "files": [written]}))
    assert [said.text for said in note.files] == [written]
    assert (root / "kb/2025" / written).read_bytes() == PNG


@pytest.mark.parametrize(
    "stem",
    ["[P0301] hum", "-rf", "hum: loud", "a  b", "\udcff", "\x1b[2J", "\u202ehum", "a\\b", "#x"],
)
def test_d02_whatever_a_note_is_called_its_files_are_found_again(
    root: Path, tmp_path: Path, stem: str
) -> None:
    (tmp_path / "hub.png").write_bytes(PNG)
    note_path = f"kb/2025/{stem}.md"
    written = attach(root, note_path, tmp_path / "hub.png")
    assert written.isprintable()
    note = read_note(note_path, compose({"symptom": "hum", "files": [written]}))
    assert place_of(root, note_path, note.files[0].text).state == "there"


def test_what_is_too_large_or_empty_is_refused_in_words(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    film = tmp_path / "film.mp4"
    film.touch()
    with pytest.raises(NotWritten, match=r"film\.mp4 is empty"):
        attach(root, NOTE, film)
    os.truncate(film, 140_000_000)
    with pytest.raises(NotWritten, match=r"film\.mp4 has 140\.0 MB, more than 100\.0 MB") as raised:
        attach(root, NOTE, film)
    assert raised.value.exit_code == NOT_WRITTEN
    with pytest.raises(NotWritten, match="there is no such file"):
        attach(root, NOTE, tmp_path / "gone.jpg")
    with pytest.raises(NotWritten, match="not a plain file"):
        attach(root, NOTE, tmp_path)
    assert os.listdir(root / "kb/2025") == ["hum.md"]


def test_a_file_that_grows_while_it_is_copied_leaves_nothing(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    source = tmp_path / "film.mp4"
    source.write_bytes(b"x" * 5_000_000)
    monkeypatch.setattr(attachments, "MAX_BYTES", 5_000_000)

    def grown(*place: object) -> Path:
        with source.open("ab") as file:
            file.write(b"more")
        return real_place(*place)  # type: ignore[arg-type]

    real_place = attachments.real_place
    monkeypatch.setattr(attachments, "real_place", grown)
    with pytest.raises(NotWritten, match=r"more than 5\.0 MB"):
        attach(root, NOTE, source)
    assert os.listdir(root / "kb/2025/hum-files") == []


def test_a_stick_pulled_out_leaves_nothing(
    root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    source = tmp_path / "hub.png"
    source.write_bytes(PNG)

    class Pulled:
        def __init__(self, path: Path, follow: bool = False) -> None:
            self._file = source.open("rb")

        def __enter__(self) -> Pulled:
            return self

        def __exit__(self, *_: object) -> None:
            self._file.close()

        def fileno(self) -> int:
            return self._file.fileno()

        def seek(self, at: int) -> None:
            pass

        def read(self, size: int) -> bytes:
            raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(attachments, "open_plain", Pulled)
    with pytest.raises(NotWritten, match=r"hub\.png: Input/output error"):
        attach(root, NOTE, source)
    assert os.listdir(root / "kb/2025/hum-files") == []


def test_b03_a_folder_of_files_that_leads_outside_is_not_written_to(
    root: Path, tmp_path: Path
) -> None:
    (tmp_path / "away").mkdir()
    (root / "kb/2025/hum-files").symlink_to(tmp_path / "away")
    (tmp_path / "hub.png").write_bytes(PNG)
    with pytest.raises(NotWritten, match="leads outside the shop folder"):
        attach(root, NOTE, tmp_path / "hub.png")
    with pytest.raises(NotWritten, match="leads outside the shop folder"):
        attach(root, "../x/hum.md", tmp_path / "hub.png")
    assert os.listdir(tmp_path / "away") == []


def test_a_copy_is_never_held_whole_in_memory(root: Path, tmp_path: Path) -> None:
    source = tmp_path / "film.mp4"
    source.write_bytes(HEADS[".mp4"])
    os.truncate(source, 90_000_000)
    program = (
        "import resource, sys\n"
        "from pathlib import Path\n"
        "from benchlore.keeping.attachments import attach\n"
        "before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss\n"
        "attach(Path(sys.argv[1]), 'kb/2025/hum.md', Path(sys.argv[2]))\n"
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, root, source], capture_output=True, check=True
    )
    assert int(done.stdout) < 20_000  # kB
    assert (root / "kb/2025/hum-files/film.mp4").stat().st_size == 90_000_000


@pytest.mark.skipif(shutil.which("strace") is None, reason="A1: strace is not installed")
def test_a01_killed_while_copying_leaves_no_half_file(root: Path, tmp_path: Path) -> None:
    source = tmp_path / "film.mp4"
    source.write_bytes(HEADS[".mp4"] + bytes(3_000_000))
    program = (
        "import sys\nfrom pathlib import Path\n"
        "from benchlore.keeping.attachments import attach\n"
        "attach(Path(sys.argv[1]), 'kb/2025/hum.md', Path(sys.argv[2]))\n"
    )
    folder = root / "kb/2025/hum-files"
    torn = 0
    for call, when in (("write", 1), ("write", 3), ("fsync", 1), ("fsync", 2), ("link", 1)):
        inject = f"inject={call}:signal=KILL:when={when}"
        done = subprocess.run(
            ["strace", "-f", "-qq", "-o", "/dev/null", "-e", inject, sys.executable, "-B", "-c",
             program, root, source],
            capture_output=True, check=False,
        )  # fmt: skip
        assert done.returncode == -signal.SIGKILL, (call, when)
        kept = [name for name in os.listdir(folder) if not name.startswith(".")]
        torn += len(os.listdir(folder)) - len(kept)
        assert all((folder / name).stat().st_size == source.stat().st_size for name in kept)
        assert [found.path for found in list_notes(root).files] == [NOTE]
    assert torn


# What lies in a note's folder of files is no note


def test_text_attached_to_a_note_does_not_become_a_case(root: Path, tmp_path: Path) -> None:
    (tmp_path / "scope.txt").write_text("hums in the file\n")
    attach(root, NOTE, tmp_path / "scope.txt")
    assert [found.path for found in list_notes(root).files] == [NOTE]


def test_a_folder_called_so_without_its_note_is_read(root: Path) -> None:
    put(root, "job-files/hum.txt", b"hum\n")
    paths = [found.path for found in list_notes(root).files]
    assert paths == [NOTE, "kb/2025/job-files/hum.txt"]


def test_every_file_that_a_demo_note_lists_is_there() -> None:
    found = []
    for path in sorted((REPOSITORY / "kb").rglob("*.md")):
        name = path.relative_to(REPOSITORY).as_posix()
        note = read_note(name, path.read_bytes())
        found += attachments_of(REPOSITORY, name, (said.text for said in note.files))
    assert len(found) >= 3
    assert [each for each in found if each.state != "there" or each.size > 30_000] == []


def test_a_new_file_is_written_in_parts(tmp_path: Path) -> None:
    from benchlore.notes.writer import NameTaken, write_new_file

    write_new_file(tmp_path / "x", iter([b"one ", b"", b"two"]))
    assert (tmp_path / "x").read_bytes() == b"one two"
    with pytest.raises(NameTaken):
        write_new_file(tmp_path / "x", [b"three"])

    def broken() -> Iterator[bytes]:
        yield b"half"
        raise RuntimeError

    with pytest.raises(RuntimeError):
        write_new_file(tmp_path / "y", broken())
    write_file(tmp_path / "z", b"", NO_FILE)
    assert sorted(os.listdir(tmp_path)) == ["x", "z"]
    assert stat.S_ISREG((tmp_path / "z").stat().st_mode)
