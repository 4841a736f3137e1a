"""What the system tells the program: to end, and that it goes on after it was stopped."""

from __future__ import annotations

import asyncio
import contextlib
import signal
from collections.abc import Callable
from types import FrameType
from typing import Any

from textual.app import App

ENDING = tuple(getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name))
"""Signals that end the program from outside."""


def when_ended(stop: Callable[[], None]) -> None:
    """Call `stop` in the program's own thread when the system wants it to end."""
    for number in ENDING:
        with contextlib.suppress(NotImplementedError, RuntimeError):  # Windows has no such way
            asyncio.get_running_loop().add_signal_handler(number, stop)


def go_on_once(app: App[Any]) -> None:
    """Let the terminal be taken up again only where it had been given back.

    Textual's driver takes SIGCONT for the end of its own Ctrl+Z, and starts a second thread that
    reads keys. After a SIGSTOP, which nobody can see coming, the first one still reads: keys go to
    either of them, and the program never ends. Then the screen is only drawn again.
    """
    driver = app._driver
    number = getattr(signal, "SIGCONT", None)
    resume = signal.getsignal(number) if number is not None else None
    if number is None or not callable(resume):
        return  # without a terminal of its own

    def continued(told: int, frame: FrameType | None) -> None:
        if getattr(driver, "_must_signal_resume", True):
            resume(told, frame)
        else:
            app.call_later(app.refresh, layout=True)

    signal.signal(number, continued)
