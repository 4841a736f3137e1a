"""The program on a terminal: from exec until it takes a key, and until a past case is shown.

It runs on a pseudo-terminal; what it writes is watched with escape sequences taken out. The first
key is a tilde, which stands nowhere else on the screen; a result is known by its case's date.
"""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import struct
import subprocess
import sys
import termios
import time
from dataclasses import dataclass

from tests.benchmarks.measuring import REPOSITORY, RUNS, Failed, Row, installed, median, seconds

from benchlore.index.opened import open_index
from benchlore.search.engine import Engine
from benchlore.search.results import Question
from benchlore.shop import Shop

ROWS, COLUMNS = 40, 140
QUESTION = "~battery flat after a weekend"
PROMPT = "Symptom"
PATIENCE_S = 30.0

_ESCAPES = re.compile(r"\x1b(?:\[[0-?]*[ -/]*[@-~]|[PX^_\]].*?(?:\x1b\\|\x07)|.)", re.S)


@dataclass(frozen=True, slots=True)
class Start:
    """Seconds from exec until the first key was echoed, and until the known case was shown."""

    typing: float
    results: float


def rows(shop: Shop) -> list[Row]:
    """Start the program `RUNS` times over `shop`, whose index is current."""
    date = known_date(shop)
    start_once(shop, date)  # so that every file has been read once
    starts = [start_once(shop, date) for _ in range(RUNS)]
    return [
        Row("program: start to typing", "0.80 s", seconds(median(s.typing for s in starts))),
        Row(
            "program: start to first results", "1.20 s", seconds(median(s.results for s in starts))
        ),
    ]


def known_date(shop: Shop) -> str:
    """The date of the case nearest to `QUESTION`: it is shown with the case."""
    index = open_index(shop)
    date = Engine(index).find(Question(QUESTION)).cases[0].note.date
    index.close()
    return date


def start_once(shop: Shop, date: str) -> Start:
    """Start, type the first key, type the rest, leave."""
    terminal = Terminal(["--shop", str(shop.root), "--index", str(shop.index)])
    try:
        terminal.wait_for(PROMPT)
        terminal.send(QUESTION[0])
        typing = terminal.wait_for(QUESTION[0])
        terminal.send(QUESTION[1:])
        return Start(typing, terminal.wait_for(date))
    finally:
        terminal.close()


class Terminal:
    """benchlore on a pseudo-terminal of 140 x 40."""

    def __init__(self, arguments: list[str]) -> None:
        self._ours, theirs = pty.openpty()
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
        self._written = b""
        self._started = time.perf_counter()
        self._child = subprocess.Popen(
            [sys.executable, "-m", "benchlore", *arguments],
            stdin=theirs,
            stdout=theirs,
            stderr=theirs,
            cwd=REPOSITORY,
            env={**installed(), "TERM": "xterm-256color"},
            start_new_session=True,
        )
        os.close(theirs)

    def send(self, keys: str) -> None:
        """Type `keys`; only what is written from now on is watched."""
        self._written = b""
        os.write(self._ours, keys.encode())

    def wait_for(self, text: str) -> float:
        """Wait until `text` was written; return seconds since exec."""
        while text not in self._shown():
            left = self._started + PATIENCE_S - time.perf_counter()
            if left <= 0 or not select.select([self._ours], [], [], left)[0]:
                raise Failed(f"{text!r} was not shown within {PATIENCE_S:.0f} s")
            try:
                self._written += os.read(self._ours, 65536)
            except OSError as error:  # the other end is closed
                raise Failed(f"the program ended before {text!r} was shown") from error
        return time.perf_counter() - self._started

    def close(self) -> None:
        """End the program."""
        self._child.kill()
        self._child.wait()
        os.close(self._ours)

    def _shown(self) -> str:
        return _ESCAPES.sub("", self._written.decode("utf-8", "replace"))
