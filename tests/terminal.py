"""The search screen used on a pseudo-terminal, every byte that it sends there captured."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Sequence
from pathlib import Path

START_S = 40.0
"""The longest that the screen may take to appear before keys are sent all the same."""


def use_on_a_terminal(
    shop: Path,
    size: tuple[int, int],
    pressed: Sequence[tuple[bytes, float]],
    before: Sequence[str] = (),
) -> bytes:
    """Open the shop, send each of `pressed` and wait its seconds; return every byte sent back.

    `before` is put before the command. The program must leave by itself, with exit code 0.
    """
    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", size[1], size[0], 0, 0))
    process = subprocess.Popen(
        [*before, sys.executable, "-m", "benchlore", "--shop", str(shop)],
        stdin=slave,
        stdout=slave,
        stderr=slave,
        start_new_session=True,
        env={**os.environ, "TERM": "xterm-256color"},
    )
    os.close(slave)
    sent = b""

    def read(seconds: float) -> None:
        nonlocal sent
        limit = time.monotonic() + seconds
        while time.monotonic() < limit:
            if select.select([master], [], [], 0.05)[0]:
                try:
                    sent += os.read(master, 65536)
                except OSError:  # Linux says EIO when the other end is closed
                    return

    try:
        limit = time.monotonic() + START_S
        while b"hums from" not in sent and time.monotonic() < limit:
            read(0.2)
        for keys, pause in pressed:
            if process.poll() is None:
                os.write(master, keys)
                read(pause)
        read(1.0)
        assert process.wait(timeout=20) == 0
    finally:
        if process.poll() is None:
            process.kill()
        os.close(master)
    return sent
