"""The screen stopped and continued (row F5 of the reliability table)."""

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

import pytest

from shops import ShopFolder

START_S = 60.0
LEAVES_SCREEN, ENTERS_SCREEN = b"\x1b[?1049l", b"\x1b[?1049h"


class Screen:
    """The search screen on a pseudo-terminal of its own."""

    def __init__(self, shop: ShopFolder) -> None:
        self.master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 100, 0, 0))
        self.process = subprocess.Popen(
            [sys.executable, "-m", "benchlore", "--shop", str(shop.root)],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            start_new_session=True,
            env={**os.environ, "TERM": "xterm-256color"},
        )
        os.close(slave)

    def until(self, wanted: bytes, seconds: float = START_S) -> bytes:
        """Read until `wanted` was sent; return all that was read."""
        sent = b""
        limit = time.monotonic() + seconds
        while wanted not in sent and time.monotonic() < limit:
            if select.select([self.master], [], [], 0.1)[0]:
                sent += os.read(self.master, 65536)
        assert wanted in sent, sent[-500:]
        return sent

    def close(self) -> None:
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        os.close(self.master)


@pytest.fixture
def screen(own_folder: ShopFolder) -> Iterator[Screen]:
    opened = Screen(own_folder)
    yield opened
    opened.close()


def test_f05_the_screen_is_left_and_drawn_again(screen: Screen) -> None:
    screen.until(b"hums from")
    os.write(screen.master, b"squeal")
    screen.until(b"squeal")
    screen.process.send_signal(signal.SIGTSTP)
    screen.until(LEAVES_SCREEN)
    assert os.WIFSTOPPED(os.waitpid(screen.process.pid, os.WUNTRACED)[1]), "it is not stopped"
    screen.process.send_signal(signal.SIGCONT)
    drawn = screen.until(b"squeal")
    assert ENTERS_SCREEN in drawn
    os.write(screen.master, b"\x11")
    screen.until(LEAVES_SCREEN)
    assert screen.process.wait(timeout=30) == 0


def test_f05_a_screen_that_slept_goes_on(screen: Screen) -> None:
    screen.until(b"hums from")
    screen.process.send_signal(signal.SIGSTOP)
    assert os.WIFSTOPPED(os.waitpid(screen.process.pid, os.WUNTRACED)[1]), "it is not stopped"
    time.sleep(1.0)
    screen.process.send_signal(signal.SIGCONT)
    os.write(screen.master, b"squeal")
    screen.until(b"squeal")
    os.write(screen.master, b"\x11")
    screen.until(LEAVES_SCREEN)
    assert screen.process.wait(timeout=30) == 0
