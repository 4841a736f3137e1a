"""A picture of the main screen for the manual: `python -m benchlore.tui.picture FILE`."""

from __future__ import annotations

import asyncio
import re
import sys
from pathlib import Path

from textual.pilot import Pilot

from benchlore.shop import Shop, find_shop
from benchlore.tui.app import BenchloreApp
from benchlore.tui.idle import EXAMPLE
from benchlore.tui.status_line import StatusLine
from benchlore.tui.symptom_line import SymptomLine

READY_S = 30.0
"""Longer than the index takes to open on any machine; the picture is given up after that."""

_OUTSIDE_FONT = re.compile(r"\s*@font-face\s*\{.*?\}", re.DOTALL)


def save_picture(
    shop: Shop, path: Path, size: tuple[int, int] = (140, 40), symptom: str = EXAMPLE
) -> None:
    """Write an SVG of the main screen, `symptom` typed and its best case selected, to `path`.

    The same notes give the same bytes: nothing blinks, no time is shown, no build runs.

    Raises:
        TimeoutError: no case appeared.
        OSError: the file cannot be written.
    """
    path.write_text(asyncio.run(_picture(shop, size, symptom)), encoding="utf-8")


async def _picture(shop: Shop, size: tuple[int, int], symptom: str) -> str:
    app = BenchloreApp(shop, renew=False)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        field = app.screen.query_one(SymptomLine)
        field.cursor_blink = False
        field.value = symptom
        await _until_found(app, pilot)
        app.screen.set_focus(None)
        await pilot.pause()
        return without_outside_fonts(app.export_screenshot(title="benchlore"))


async def _until_found(app: BenchloreApp, pilot: Pilot[int]) -> None:
    for _ in range(int(READY_S / 0.05)):
        await pilot.pause(0.05)
        counted = app.screen.query_one(StatusLine).status.need_a_look is not None
        if counted and app.screen.has_class("-found"):
            break
    else:
        raise TimeoutError("no case appeared: is there an index?")
    await app.workers.wait_for_complete()
    await pilot.pause(0.3)


def without_outside_fonts(svg: str) -> str:
    """`svg` without the fonts that it would fetch from the web; the system's monospace stays."""
    return _OUTSIDE_FONT.sub("", svg)


if __name__ == "__main__":
    save_picture(find_shop(), Path(sys.argv[1]))
