"""The screen of what past cases add up to: rows, sources, results, cautions, the brief."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from benchlore.shop import Shop
from benchlore.tui.app import BenchloreApp
from benchlore.tui.evidence_screen import EvidenceScreen
from benchlore.tui.note_screen import NoteScreen
from tui.screens import NARROW, WIDE, drive, find, flat, until, until_shown


async def open_evidence(app: BenchloreApp, pilot: Pilot[int]) -> None:
    await find(app, pilot, "hums loud on right-handers")
    await pilot.press("f7")
    await until(pilot, lambda: isinstance(app.screen, EvidenceScreen))
    await until_shown(pilot, "What it turned out to be")


@pytest.mark.parametrize("size", [NARROW, WIDE])
def test_cautions_stand_before_causes(built_shop: Shop, size: tuple[int, int]) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_evidence(app, pilot)
        text = flat(app)
        assert text.index("stands under the axle") < text.index("What it turned out to be")
        assert "front wheel bearing" in text and "of 3 cases" in text
        assert "F1 Help" in text

    drive(built_shop, steps, size)


def test_enter_opens_the_source_and_escape_goes_back(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_evidence(app, pilot)
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, NoteScreen))
        await until_shown(pilot, "kb/2024/hum.md")
        await pilot.press("escape")
        await until(pilot, lambda: isinstance(app.screen, EvidenceScreen))

    drive(built_shop, steps)


def test_a_result_is_taken_and_taken_back(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_evidence(app, pilot)
        await pilot.press("r")
        await until_shown(pilot, "What did you find?")
        await pilot.press(
            *"hub", "space", *"axial", "space", *"play:", "space", *"0.09", "space", *"mm", "enter"
        )
        await until_shown(pilot, "Found so far")
        assert "0.09 mm" in flat(app)
        await pilot.press("u")
        await until(pilot, lambda: "Found so far" not in flat(app))

    drive(built_shop, steps, WIDE)


def test_the_brief_is_written_and_never_over_another_file(built_shop: Shop, tmp_path: Path) -> None:
    target = tmp_path / "brief.html"

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_evidence(app, pilot)
        for _ in range(2):
            await pilot.press("b")
            await until_shown(pilot, "Write the job brief to")
            field = app.screen.query_one("#brief")
            field.value = str(target)  # type: ignore[attr-defined]
            await pilot.press("enter")
            await pilot.pause(0.2)
        assert "such a file already" in flat(app)

    drive(built_shop, steps)
    assert target.read_text("utf-8").startswith("<!DOCTYPE html>")


def test_without_close_cases_it_says_so(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await pilot.press(*"zzzqqq")
        await pilot.pause(0.6)
        await pilot.press("f7")
        said = [notice.message for notice in app._notifications]
        assert any("nothing to add up" in text for text in said)

    drive(built_shop, steps)
