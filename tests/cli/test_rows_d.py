"""Hostile text and awkward outputs on the command line (rows D of the reliability table)."""

from __future__ import annotations

import json
import os
import pty
import re
import select
import subprocess
import sys
import time

import pytest

from hostile import BIDI, BRACKETS, ESCAPES, note_with
from shops import ShopFolder

OWN_STYLE = re.compile(rb"\x1b\[[0-9;]*m")
"""The styling that the command line itself may send: bold, dim, off."""


def on_a_terminal(shop: ShopFolder, *arguments: str, env: dict[str, str] | None = None) -> bytes:
    """Run a command on a pseudo-terminal and return every byte it sent there."""
    master, slave = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-m", "benchlore", "--shop", str(shop.root), *arguments],
        stdin=slave,
        stdout=slave,
        stderr=slave,
        env={**os.environ, "TERM": "xterm-256color", "COLUMNS": "100", **(env or {})},
    )
    os.close(slave)
    sent = b""
    deadline = time.monotonic() + 60
    while time.monotonic() < deadline:
        ready, _, _ = select.select([master], [], [], 0.2)
        if ready:
            try:
                sent += os.read(master, 65536)
            except OSError:  # Linux says EIO when the other end is closed
                break
        elif process.poll() is not None:
            break
    process.wait(timeout=10)
    os.close(master)
    return sent


def control_bytes(sent: bytes) -> set[str]:
    """Characters of `sent` that act on a terminal, but for line ends and the program's styling."""
    text = OWN_STYLE.sub(b"", sent).decode("utf-8", "replace")
    bad = {c for c in text if ord(c) < 32 or 0x7F <= ord(c) < 0xA0 or c in "".join(BIDI)}
    return bad - set("\r\n")


@pytest.fixture
def hostile_shop(shop_folder: ShopFolder) -> ShopFolder:
    shop_folder.write("kb/hum.md", note_with("".join(ESCAPES + BIDI)))
    shop_folder.write("kb/raw.txt", ("a hum " + "".join(ESCAPES + BIDI) + "\n").encode())
    shop_folder.write("kb/\x1b]0;x\x07\u202ehum.md", "# hum\n---\n")
    shop_folder.write(
        "kb/broken\x1b[31m.md", "---\nsymptom: \x1b[31m: hum: \u202e\n\x1b: [\n---\nhum\n"
    )
    shop_folder.write("articles/a.md", note_with("".join(ESCAPES)).replace("case:", "title:"))
    shop_folder.run("build")
    return shop_folder


COMMANDS = [
    ["find", "hum"],
    ["find", "hum", "--json"],
    ["find", "hum \x1b]0;x\x07 \u202e"],
    ["find", "hum", "--since", "\x1b[31m"],
    ["find", "hum", "--make", "\x1b[31m"],
    ["show", "kb/hum.md"],
    ["show", "kb/hum.md", "--json"],
    ["show", "kb/raw.txt"],
    ["show", "kb/broken\x1b[31m.md"],
    ["show", "\x1b]0;x\x07"],
    ["--index", "no\x1b[31mwhere", "find", "hum"],
    ["due"],
    ["due", "--json"],
    ["due", "kb/hum.md", "fixed \x1b[31m", "--dry-run"],
    ["due", "kb/hum.md", "\x1b[31m"],
    ["check"],
    ["check", "--json"],
    ["edit", "kb/hum.md", "--set", "by=\x1b[31m"],
    ["edit", "kb/hum.md", "--set", "\x1b[31m=x"],
    ["edit", "kb/hum.md", "--attach", "no\x1b[31mwhere"],
    ["add", "--from", "no\x1b[31mwhere"],
    ["add", "--from", "kb/raw.txt"],
    ["import", "no\x1b[31mwhere.csv"],
    ["build"],
    ["\x1b[31m"],
]
BARS = ("build", "check")
"""Commands whose progress bar moves the cursor; they are checked without one."""


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: repr(command))
def test_d01_no_control_character_of_a_note_reaches_the_terminal(
    hostile_shop: ShopFolder, command: list[str]
) -> None:
    sent = on_a_terminal(hostile_shop, *command)
    assert sent.strip()
    if command[0] not in BARS:
        assert control_bytes(sent) == set()
    done = hostile_shop.run(*command)
    assert control_bytes(done.stdout + done.stderr) == set()
    assert b"Traceback" not in done.stderr


def test_d01_a_build_with_its_bar_sends_nothing_of_the_notes(hostile_shop: ShopFolder) -> None:
    hostile_shop.write("kb/more.md", note_with("".join(ESCAPES)))
    sent = on_a_terminal(hostile_shop, "build").decode("utf-8", "replace")
    for injected in ("\x1b]0;", "\x1b]8;", "\x1b]52", "\x1bP", "\x9b", "\x9d", "\x07", "\x7f"):
        assert injected not in sent


def test_d02_brackets_are_printed_as_written(shop_folder: ShopFolder) -> None:
    for number, text in enumerate(BRACKETS):
        shop_folder.write(f"kb/{number}.md", note_with(text))
    shop_folder.write("kb/torque [Nm] [P0301].txt", "hum at [Nm] and [P0301]\n")
    shop_folder.build()
    sent = on_a_terminal(shop_folder, "find", "hum", "-n", "50").decode()
    flat = " ".join(OWN_STYLE.sub(b"", sent.encode()).decode().split())
    for text in BRACKETS:
        assert f"before {text} after" in flat
    assert "kb/torque [Nm] [P0301].txt" in flat
    shown = on_a_terminal(shop_folder, "show", "kb/2.md").decode()
    assert "before [/] after" in shown


def test_d07_a_closed_pipe_stops_quietly(shop_folder: ShopFolder) -> None:
    for number in range(30):
        shop_folder.write(f"kb/{number}.txt", f"hum number {number}\n" * 50)
    shop_folder.build()
    for command in ("find hum -n 30", "show kb/1.txt", "find hum --json -n 30"):
        line = f"{sys.executable} -m benchlore --shop '{shop_folder.root}' {command} | head -1"
        done = subprocess.run(["bash", "-c", line], capture_output=True, timeout=60)
        assert done.stdout.count(b"\n") == 1
        assert done.stderr == b""


def test_d07_a_full_disk_is_said_and_has_its_exit_code(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/hum.txt", "hum\n")
    shop_folder.build()
    for command in (["find", "hum"], ["show", "kb/hum.txt"], ["find", "hum", "--json"]):
        with open("/dev/full", "wb") as full:
            done = subprocess.run(
                [sys.executable, "-m", "benchlore", "--shop", str(shop_folder.root), *command],
                stdout=full,
                stderr=subprocess.PIPE,
                timeout=60,
                check=False,
            )
        assert done.returncode == 5
        assert b"could not be written: No space left on device" in done.stderr
        assert b"Traceback" not in done.stderr


@pytest.mark.parametrize(
    "env",
    [
        {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
        {"PYTHONIOENCODING": "cp1252"},
        {"PYTHONIOENCODING": "ascii"},
    ],
)
def test_d08_a_terminal_without_unicode_gets_plain_letters(
    shop_folder: ShopFolder, env: dict[str, str]
) -> None:
    shop_folder.write(
        "kb/hum.md",
        "---\nsymptom: Hum ≥ 80 °C, naïve\n"
        "checks: [{check: coil, value: 3 Ω, limit: ≤ 5 Ω}]\n---\n",
    )
    shop_folder.build()
    done = shop_folder.run("find", "hum", env=env)
    assert done.returncode == 0, done.stderr
    text = done.stdout.decode("cp1252")
    assert "Hum >= 80" in text and "<= 5 ohm" in text
    shown = shop_folder.run("show", "kb/hum.md", env=env)
    assert shown.returncode == 0 and b"<= 5 ohm" in shown.stdout
    answer = json.loads(shop_folder.run("find", "hum", "--json", env=env).stdout)
    assert answer["cases"][0]["checks"][0]["limit"] == "≤ 5 Ω"


def test_d08_no_color_and_dumb_terminals_get_no_styling(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/hum.txt", "hum\n")
    shop_folder.build()
    assert OWN_STYLE.search(on_a_terminal(shop_folder, "find", "hum"))
    for env in ({"NO_COLOR": "1"}, {"TERM": "dumb"}):
        assert b"\x1b" not in on_a_terminal(shop_folder, "find", "hum", env=env)
