"""The main screen: typing, choosing, opening, narrowing."""

from __future__ import annotations

import re

import pytest
from textual.pilot import Pilot

from benchlore.shop import Shop
from benchlore.tui.app import BenchloreApp
from benchlore.tui.case_list import CaseList
from benchlore.tui.note_screen import NoteScreen
from benchlore.tui.note_view import NoteView
from benchlore.tui.symptom_line import SymptomLine
from tui.screens import (
    NARROW,
    WIDE,
    drive,
    find,
    flat,
    main_screen,
    status,
    text_of,
    until,
    until_shown,
)


def chosen(app: BenchloreApp) -> str:
    hit = main_screen(app).query_one(CaseList).hit
    return hit.note.path if hit else ""


def test_typing_gives_cases_with_cautions_before_findings(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await pilot.press(*"hums louder")
        await pilot.press(*" on right-handers".replace(" ", "_").split("_")[0:1], "space", *"right")
        await until_shown(pilot, "Hums from 35 mph")
        text = flat(app)
        assert text.index("stands under the axle") < text.index("gritty all the way round")
        assert "0.03 mm (limit <= 0.05 mm, workshop manual) - in order" in text

    drive(built_shop, steps)


@pytest.mark.parametrize("size", [NARROW, WIDE])
def test_both_sizes_show_list_findings_and_keys(built_shop: Shop, size: tuple[int, int]) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums loud on right-handers")
        lines = text_of(app).split("\n")
        assert len(lines) == size[1]
        text = flat(app)
        for wanted in (
            "> Hums from 35 mph at the front",
            "2024-03-05, Halden Carrier 35 2018",
            "fixed - front wheel bearing",
            "Case 2024-0101",
            "!! stands under the axle",
            "Shows: 35 mph and up; right-handers",
            "Does not show: left-handers; standing still",
        ):
            assert wanted in text
        assert "F1 Help" in lines[-1]
        assert "Quit" in lines[-1]

    drive(built_shop, steps, size)


def test_the_wide_screen_shows_the_source_note_at_its_best_passage(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums loud on right-handers")
        await until_shown(pilot, "kb/2024/hum.md", "5 >> symptom: Hums from 35 mph")
        assert "Wheels turning on a lift" in flat(app)  # room for the usual cautions

    drive(built_shop, steps, WIDE)


def test_arrows_choose_without_leaving_the_symptom_line(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums at the front")
        first = chosen(app)
        await pilot.press("down")
        second = chosen(app)
        assert second != first
        assert isinstance(app.focused, SymptomLine)
        await pilot.press("up", "up")
        assert chosen(app) == first
        await pilot.press(*["down"] * 30)
        assert chosen(app) == "articles/hum.md"
        assert "> Hum that rises with road speed" in flat(app)

    drive(built_shop, steps)


def test_enter_opens_the_source_note_and_escape_comes_back(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums loud on right-handers")
        await pilot.press("enter")
        await until_shown(pilot, "kb/2024/hum.md", "symptom: Hums from 35 mph")
        assert isinstance(app.screen, NoteScreen)
        assert "stands under the axle" in text_of(app).split("\n")[0]
        await pilot.press("escape")
        assert app.screen is main_screen(app)
        await pilot.press("escape")
        assert main_screen(app).query_one(SymptomLine).value == ""
        await until_shown(pilot, "What does the customer notice?")

    drive(built_shop, steps)


def test_a_click_selects_and_a_second_click_opens(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums at the front")
        first = chosen(app)
        row = [each for each in app.screen.query("CaseRow") if each.display][1]
        await pilot.click(row)
        assert chosen(app) != first
        await pilot.click(row, times=2)
        await until(pilot, lambda: isinstance(app.screen, NoteScreen))

    drive(built_shop, steps)


def test_tab_goes_round_and_escape_returns_to_typing_without_clearing(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums at the front")
        await pilot.press("tab")
        assert isinstance(app.focused, CaseList)
        await pilot.press("down", "escape")
        assert isinstance(app.focused, SymptomLine)
        assert app.focused.value == "hums at the front"

    drive(built_shop, steps)


def test_the_passages_of_a_note_are_stepped_through_and_words_are_found(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "front hub spun by hand, axial play, moved with the bend")
        await pilot.press("enter")
        await until_shown(pilot, "match ")
        view = app.screen.query_one(NoteView)
        assert len(view.stops) >= 2
        before = flat(app)
        await pilot.press("n")
        await until(pilot, lambda: flat(app) != before)
        await pilot.press("slash", *"surface")
        await until_shown(pilot, "1 line")
        assert re.search(
            r" (=|>>|>) Swapped the wheels first: .* not with the surface\.", flat(app)
        )
        await pilot.press(*"zzz")
        await until_shown(pilot, "no line holds this")
        await pilot.press("escape", "escape")
        assert app.screen is main_screen(app)

    drive(built_shop, steps)


def test_the_search_is_narrowed_by_system_and_date(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums at the front")
        await pilot.press("f2")
        await until_shown(pilot, "Only notes with", "wheels 3", "brakes 1")
        await pilot.press(*"bra", "down", "enter")
        await pilot.press("tab", "tab", "tab", *"yesterday", "enter")
        await until_shown(pilot, "write 2023, 2023-06 or 2023-06-30")
        app.screen.query_one("#since").value = "2023-09"
        await pilot.press("enter")
        await until_shown(pilot, "only: system brakes, since 2023-09")
        await until(pilot, lambda: chosen(app) == "kb/2023/brakes.md")
        await pilot.press("f2")
        await until_shown(pilot, "Only notes with")
        app.screen.query_one("#since").value = "2030"
        await pilot.press("enter")
        await until_shown(pilot, "Nothing close in the notes (only: system brakes, since 2030")
        await pilot.press("f2", "ctrl+r")
        await until(pilot, lambda: status(app).filters == "" and chosen(app) != "")

    drive(built_shop, steps)


def test_escape_leaves_the_filters_as_they_were(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await pilot.press("f2")
        await pilot.press(*"brakes", "escape")
        await pilot.pause(0.3)
        assert status(app).filters == ""

    drive(built_shop, steps)


def test_a_question_of_signs_only_is_no_question(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await pilot.press("exclamation_mark", "slash", "minus")
        await pilot.pause(0.5)
        await until_shown(pilot, "What does the customer notice?")

    drive(built_shop, steps)


def test_d06_a_tiny_window_says_so_and_resizing_while_searching_does_not_crash(
    built_shop: Shop,
) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        for size in [(20, 5), (1, 1), (140, 40), (39, 24), (80, 9), (100, 24), (40, 10), (80, 24)]:
            await pilot.press("h")
            await pilot.resize_terminal(*size)
            await pilot.pause(0.1)
            small = size[0] < 40 or size[1] < 10
            assert ("window too small" in flat(app) or size == (1, 1)) if small else True
            assert (app.screen is main_screen(app)) is not small
        await find(app, pilot, "hums at the front")
        await pilot.resize_terminal(140, 40)
        await until_shown(pilot, "kb/2")

    drive(built_shop, steps)
