"""The program driven without a terminal, and what stands on its screen as plain text."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Awaitable, Callable

from textual.pilot import Pilot

from benchlore.shop import Shop
from benchlore.tui.app import BenchloreApp
from benchlore.tui.find_screen import FindScreen
from benchlore.tui.status_line import StatusLine
from benchlore.tui.symptom_line import SymptomLine

NARROW, WIDE = (80, 24), (140, 40)

Steps = Callable[[BenchloreApp, Pilot[int]], Awaitable[None]]


def drive(
    shop: Shop,
    steps: Steps,
    size: tuple[int, int] = NARROW,
    renew: bool = False,
    seconds: float = 120,
) -> None:
    """Run the program on `shop`, let `steps` use it, and leave it; never longer than `seconds`."""

    async def main() -> None:
        app = BenchloreApp(shop, renew)
        async with app.run_test(size=size, notifications=True) as pilot:
            await until(pilot, lambda: not status(app).opening)
            await steps(app, pilot)

    asyncio.run(asyncio.wait_for(main(), seconds))


async def until(pilot: Pilot[int], true: Callable[[], bool], seconds: float = 30) -> None:
    """Wait for something to become true."""
    limit = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < limit, f"never came true; on the screen:\n{text_of(pilot.app)}"
        await pilot.pause(0.02)
    await pilot.pause()


async def until_shown(pilot: Pilot[int], *texts: str, seconds: float = 30) -> None:
    """Wait until all `texts` stand on the screen, line breaks apart."""
    await until(pilot, lambda: all(text in flat(pilot.app) for text in texts), seconds)


async def find(app: BenchloreApp, pilot: Pilot[int], symptom: str) -> None:
    """Type a symptom and wait for the cases."""
    main_screen(app).query_one(SymptomLine).value = symptom
    screen = main_screen(app)
    await until(pilot, lambda: screen.has_class("-found") and not screen._waiting)
    await app.workers.wait_for_complete()
    await pilot.pause()


def main_screen(app: BenchloreApp) -> FindScreen:
    """The main screen, whatever lies above it."""
    return next(screen for screen in app.screen_stack if isinstance(screen, FindScreen))


def status(app: BenchloreApp) -> StatusLine:
    """What the status line knows."""
    return main_screen(app).query_one(StatusLine).status


def text_of(app: BenchloreApp) -> str:
    """The screen as plain text, a line a row."""
    strips = app.screen._compositor.render_strips()
    return "\n".join("".join(part.text for part in strip).rstrip() for strip in strips)


def flat(app: BenchloreApp) -> str:
    """The screen as one line, runs of white space as one space."""
    return " ".join(text_of(app).split())
