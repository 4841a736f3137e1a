"""`benchlore check` on the command line; no index is made for any of it."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

from shops import REPOSITORY, run_benchlore

SOUND = "---\ncase: 2025-0001\nsymptom: hums\n---\n"
BAD = "---\ncase: 2025-0002\ndate: 14.05.2025\nsymptom: hums\n---\nring +44 7700 900123\n"


class Root:
    """A shop without an index."""

    def __init__(self, root: Path) -> None:
        self.path = root
        (root / "kb").mkdir(parents=True)
        (root / "articles").mkdir()

    def write(self, path: str, text: str) -> Path:
        file = self.path / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, "utf-8")
        return file

    def check(self, *arguments: str) -> subprocess.CompletedProcess[bytes]:
        return run_benchlore("--shop", str(self.path), "check", *arguments)


@pytest.fixture
def root(tmp_path: Path) -> Root:
    return Root(tmp_path / "shop")


def test_nothing_found_is_0_and_something_is_1(root: Root) -> None:
    root.write("kb/a.md", SOUND)
    done = root.check()
    assert (done.returncode, done.stdout) == (0, b"1 note looked at: nothing found\n")
    root.write("kb/b.md", BAD)
    done = root.check()
    lines = done.stdout.decode().splitlines()
    assert done.returncode == 1
    assert lines[0].startswith("kb/b.md:3:7: the date '14.05.2025' is read as 2025-05-14; write")
    assert lines[1].startswith("kb/b.md:6:6: a telephone number; take it out")
    assert lines[2] == (
        "2 notes looked at: 2 things in 1 file need a look; 2 can be mended: benchlore check --fix"
    )
    assert b"900123" not in done.stdout
    assert done.stderr == b""
    assert not (root.path / "index").exists()


def test_json_has_the_keys_of_the_readme(root: Root) -> None:
    root.write("kb/a.md", BAD)
    done = root.check("--json")
    said = json.loads(done.stdout)
    assert done.returncode == 1
    assert set(said) == {"notes", "findings", "dry_run", "mended", "left"}
    assert [set(each) for each in said["findings"]] == [
        {"file", "line", "column", "kind", "what", "todo", "mendable"}
    ] * 2
    first = said["findings"][0]
    assert (first["file"], first["line"], first["column"], first["kind"]) == (
        "kb/a.md",
        3,
        7,
        "date",
    )
    assert said["mended"] == said["left"] == []
    assert json.loads(root.check("--json", "articles").stdout)["findings"] == []


def test_fix_names_each_change_and_leaves_the_rest(root: Root) -> None:
    file = root.write("kb/a.md", BAD + "Mrs Ploughman\n")
    done = root.check("--fix", "--dry-run")
    assert done.returncode == 1
    assert done.stdout.decode().splitlines()[:2] == [
        "would mend kb/a.md:3:7: '14.05.2025' is now '2025-05-14'",
        "would mend kb/a.md:6:6: a telephone number, now [taken out]",
    ]
    assert file.read_text() == BAD + "Mrs Ploughman\n"
    done = root.check("--fix")
    assert done.returncode == 1  # a person has to decide about the name
    assert b"mended kb/a.md:3:7: '14.05.2025' is now '2025-05-14'\n" in done.stdout
    assert b"kb/a.md:7:5: perhaps a person's name" in done.stdout
    assert file.read_text() == BAD.replace("14.05.2025", "2025-05-14").replace(
        "+44 7700 900123", "[taken out]"
    ) + ("Mrs Ploughman\n")


def test_fix_that_leaves_nothing_is_0_and_its_json_names_it(root: Root) -> None:
    root.write("kb/a.md", BAD)
    done = root.check("--fix", "--json")
    said = json.loads(done.stdout)
    assert done.returncode == 0
    assert said["findings"] == []
    assert [(each["line"], each["new"]) for each in said["mended"]] == [
        (3, "2025-05-14"), (6, "[taken out]"),
    ]  # fmt: skip


@pytest.mark.skipif(sys.platform == "win32", reason="A5: folders cannot be made read-only there")
def test_a5_a_folder_that_cannot_be_written_is_5_and_nothing_changed(root: Root) -> None:
    file = root.write("kb/a.md", BAD)
    drop = ["setpriv", "--bounding-set=-dac_override,-dac_read_search"]
    drop.append("--inh-caps=-dac_override,-dac_read_search")
    if os.geteuid() == 0 and shutil.which("setpriv") is None:
        pytest.skip("A5: setpriv is not there")
    file.parent.chmod(0o555)
    try:
        done = subprocess.run(
            [*(drop if os.geteuid() == 0 else []), sys.executable, "-m", "benchlore", "--shop",
             str(root.path), "check", "--fix"],
            capture_output=True, check=False, timeout=60,
        )  # fmt: skip
    finally:
        file.parent.chmod(0o755)
    assert done.returncode == 5
    assert b"not mended kb/a.md:3:7: not saved: not allowed" in done.stderr
    assert file.read_text() == BAD


def test_paths_limit_what_is_named_not_what_is_compared(root: Root) -> None:
    root.write("kb/a.md", SOUND)
    root.write("kb/2025/b.md", SOUND + "Another.\n")
    root.write("kb/2025/c.md", BAD)
    done = root.check("kb/a.md")
    assert done.returncode == 1
    assert done.stdout.decode().splitlines()[0].startswith("kb/a.md:2:7: case number '2025-0001'")
    assert b"kb/2025/c.md" not in done.stdout
    assert b"c.md:3" in root.check("kb/2025").stdout
    assert b"c.md:3" in root.check(str(root.path / "kb/2025/c.md")).stdout
    assert b"c.md:3" in root.check(str(root.path)).stdout


@pytest.mark.parametrize(
    "arguments", [["kb/gone.md"], ["/etc/passwd"], ["shop.toml"], ["--dry-run"], ["../other/kb"]]
)
def test_wrong_use_is_2_and_says_what_to_do(root: Root, arguments: list[str]) -> None:
    root.write("shop.toml", "")
    (root.path.parent / "other" / "kb").mkdir(parents=True)
    done = root.check(*arguments)
    assert done.returncode == 2
    assert done.stderr.startswith(b"benchlore: ") and b"Traceback" not in done.stderr


def test_no_shop_is_4(tmp_path: Path) -> None:
    assert run_benchlore("--shop", str(tmp_path / "none"), "check").returncode == 4


def test_d01_what_a_note_holds_does_not_reach_the_terminal(root: Root) -> None:
    root.write("kb/a.md", SOUND.replace("hums", '"h\\e]0;x\\a"') + "see [x](\x1b[31mq.md)\n")
    root.write("kb/b\x1b[2J.md", BAD)
    done = root.check()
    assert done.returncode == 1
    assert b"\x1b" not in done.stdout + done.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminal there")
def test_on_a_terminal_it_says_how_far_it_is(root: Root) -> None:
    import pty

    root.write("kb/a.md", SOUND)
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "benchlore", "--shop", str(root.path), "check"]
    env = {**os.environ, "TERM": "xterm-256color"}
    done = subprocess.run(
        command, stdout=subprocess.PIPE, stderr=theirs, env=env, check=False, timeout=60
    )
    os.close(theirs)
    shown = os.read(ours, 65536)
    os.close(ours)
    assert done.returncode == 0
    assert b"looking at notes" in shown
    assert done.stdout == b"1 note looked at: nothing found\n"


def test_the_demo_shop_passes() -> None:
    done = run_benchlore("--shop", str(REPOSITORY), "check")
    assert (done.returncode, done.stderr) == (0, b"")
    assert re.fullmatch(rb"\d+ notes looked at: nothing found\n", done.stdout)


def test_the_hook_runs_on_staged_notes_only() -> None:
    hooks = yaml.safe_load((REPOSITORY / ".pre-commit-hooks.yaml").read_text("utf-8"))
    assert [hook["id"] for hook in hooks] == ["benchlore-check"]
    assert hooks[0]["entry"] == "benchlore check"
    files = re.compile(hooks[0]["files"])
    for path in ("kb/a.md", "kb/2025/b.txt", "articles/hum.md", "shop/kb/a.md"):
        assert files.search(path)
    for path in ("README.md", "kb/a.jpg", "src/kb.md", "index/manifest"):
        assert not files.search(path)


def test_help_has_examples() -> None:
    done = run_benchlore("check", "--help")
    assert done.returncode == 0
    assert b"Examples:" in done.stdout and b"benchlore check --fix --dry-run" in done.stdout
