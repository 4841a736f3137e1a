"""The form on a real terminal that goes away: what was typed is kept (rows A11 and A12)."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from benchlore.keeping.drafts import drafts_of
from shops import ShopFolder

if not sys.platform.startswith("linux"):
    pytest.skip("A11, A12: need a pseudo-terminal", allow_module_level=True)

LEAVES_THE_SECOND_SCREEN = b"\x1b[?1049l"
TYPED = "rattles over cobbles"


class OnATerminal:
    """The program on a pseudo-terminal of its own session."""

    def __init__(self, folder: ShopFolder) -> None:
        self.master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.process = subprocess.Popen(
            [sys.executable, "-m", "benchlore", "--shop", str(folder.root)],
            stdin=slave, stdout=slave, stderr=slave, start_new_session=True,
            env={**os.environ, "TERM": "xterm-256color"},
        )  # fmt: skip
        os.close(slave)
        self.sent = b""

    def read(self, seconds: float) -> None:
        limit = time.monotonic() + seconds
        while time.monotonic() < limit:
            if select.select([self.master], [], [], 0.05)[0]:
                try:
                    self.sent += os.read(self.master, 65536)
                except OSError:
                    return

    def until(self, text: bytes, seconds: float = 60) -> None:
        limit = time.monotonic() + seconds
        while text not in self.sent:
            assert time.monotonic() < limit, f"{text!r} never came"
            self.read(0.2)

    def press(self, keys: bytes) -> None:
        os.write(self.master, keys)


@contextmanager
def form_with_text(folder: ShopFolder) -> Iterator[OnATerminal]:
    """The form with a symptom typed and its draft kept."""
    terminal = OnATerminal(folder)
    try:
        terminal.until(b"notes")
        terminal.press(b"\x1b[19~")  # F8
        terminal.until(b"New case")
        terminal.press(TYPED.encode())
        terminal.until(b"draft kept")
        yield terminal
    finally:
        if terminal.process.poll() is None:
            terminal.process.kill()
            terminal.process.wait()


def drafts(folder: ShopFolder) -> list[str]:
    return [str(draft.fields["symptom"]) for draft in drafts_of(folder.root)]


def test_a11_a_program_that_is_told_to_end_keeps_the_draft_and_gives_the_terminal_back(
    own_folder: ShopFolder,
) -> None:
    with form_with_text(own_folder) as terminal:
        terminal.press(b", worse cold")
        terminal.read(0.3)
        terminal.process.send_signal(signal.SIGTERM)
        terminal.until(LEAVES_THE_SECOND_SCREEN)
        assert terminal.process.wait(timeout=30) == 130
    assert drafts(own_folder) == [f"{TYPED}, worse cold"]


def test_a11_a_terminal_that_is_closed_costs_nothing(own_folder: ShopFolder) -> None:
    with form_with_text(own_folder) as terminal:
        os.close(terminal.master)
        terminal.process.send_signal(signal.SIGHUP)  # as the system does to what runs on it
        terminal.process.wait(timeout=30)
    assert drafts(own_folder) == [TYPED]


def test_a12_a_program_killed_while_typing_leaves_a_draft_of_the_last_seconds(
    own_folder: ShopFolder,
) -> None:
    with form_with_text(own_folder) as terminal:
        terminal.process.kill()
        assert terminal.process.wait() == -signal.SIGKILL
    assert drafts(own_folder) == [TYPED]
    assert not [file for file in (own_folder.root / "kb").rglob("*") if "rattles" in file.name]
