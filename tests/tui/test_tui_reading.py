"""How the symptom was read, how close what was found is, and why: all of it in words."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot

from benchlore.evidence.cautions import Cautions
from benchlore.language import Reading, read_conditions
from benchlore.search.results import Question
from benchlore.shop import Shop
from benchlore.tui.app import BenchloreApp
from benchlore.tui.case_list import CaseList
from benchlore.tui.case_text import caution_lines, list_text
from benchlore.tui.closest_line import ClosestLine
from benchlore.tui.reading_dialog import ReadingDialog
from benchlore.tui.reading_line import ReadingLine
from benchlore.tui.session import Session
from benchlore.tui.symptom_line import SymptomLine
from benchlore.tui.understood import (
    Understood,
    closest_words,
    reading_rows,
    still_read,
    understood_row,
)
from tui.screens import NARROW, WIDE, drive, find, flat, main_screen, text_of, until, until_shown

SIZES = pytest.mark.parametrize("size", [NARROW, WIDE])

ASKED = "hums from 40 mph, turning left, gone on the overrun"
"""The hum of the shop's notes shows on right-handers and not on left-handers."""

OFF_TOPIC = "the printer in the office is out of paper"


def row_of(app: BenchloreApp, start: str) -> int:
    """The row of the screen, from 0, that starts with `start`."""
    rows = text_of(app).split("\n")
    return next(number for number, row in enumerate(rows) if row.strip().startswith(start))


def row_at(app: BenchloreApp, number: int) -> str:
    return text_of(app).split("\n")[number].strip()


def left(readings: tuple[Reading, ...]) -> Reading:
    return next(reading for reading in readings if reading.value == "left")


@SIZES
def test_the_reading_stands_right_under_the_symptom(
    built_shop: Shop, size: tuple[int, int]
) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        assert "read as:" not in flat(app)
        await find(app, pilot, ASKED)
        under = row_of(app, "Symptom hums") + 1
        assert row_at(app, under) == "read as: from 40 mph; turning left; not on the overrun"
        await find(app, pilot, "hums")
        await until(pilot, lambda: row_at(app, under) == "read as: no condition")
        await pilot.press("escape")
        await until(pilot, lambda: "read as:" not in flat(app))

    drive(built_shop, steps, size)


LONG = "hums over bumps, uphill, in the wet, from 40 mph, turning left, gone on the overrun"


def test_a_long_reading_is_cut_with_an_ellipsis_where_there_is_no_room(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, LONG)
        shown = row_at(app, row_of(app, "read as:"))
        assert shown.endswith("…") and len(shown) <= 78
        await pilot.resize_terminal(*WIDE)
        await until(pilot, lambda: not row_at(app, row_of(app, "read as:")).endswith("…"))
        assert row_at(app, row_of(app, "read as:")).endswith("; turning left; not on the overrun")

    drive(built_shop, steps)


@SIZES
def test_each_result_says_how_close_it_is_in_one_column(
    built_shop: Shop, size: tuple[int, int]
) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums loud on right-handers")
        hits = main_screen(app).query_one(CaseList)._hits
        rows = [each for each in app.screen.query("CaseRow") if each.display]
        assert len(rows) == len(hits) and len({hit.closeness for hit in hits}) > 1
        for hit, row in zip(hits, rows, strict=True):
            second = list_text(hit, False).plain.split("\n")[1]
            assert second.startswith(f"  {hit.closeness:<8}") and second[10] != " "
            assert row.region.height == 3
        under = row_of(app, "> Hums from 35 mph") + 1
        assert row_at(app, under).startswith("close   2024-03-05, Halden")

    drive(built_shop, steps, size)


def test_far_results_are_faint_as_well_as_called_far(built_shop: Shop) -> None:
    session = Session(built_shop)
    session.open()
    answer = session.find("hums loud on right-handers", None).answer
    assert answer is not None
    for hit in (*answer.cases, *answer.articles):
        text = list_text(hit, False)
        faint = {text.plain[s.start : s.end].strip() for s in text.spans if "dim" in str(s.style)}
        assert (hit.closeness in faint) == (hit.closeness == "far")
        assert len(faint) == (4 if hit.closeness == "far" else 0)


@SIZES
def test_nothing_close_is_said_before_anything_found(
    built_shop: Shop, size: tuple[int, int]
) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, ASKED)
        assert "nothing close" not in flat(app)
        await find(app, pilot, OFF_TOPIC)
        await until_shown(pilot, "nothing close in the notes; nearest:")
        line = row_of(app, "nothing close in the notes; nearest:")
        assert line < row_of(app, ">") == line + 1
        assert row_at(app, line + 2).startswith("far ")
        await find(app, pilot, "hums loud on right-handers")
        await until(pilot, lambda: "nothing close" not in flat(app))

    drive(built_shop, steps, size)


def test_nothing_close_takes_the_place_of_the_list_where_nothing_is_found(
    built_shop: Shop,
) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums loud on right-handers")
        await pilot.press("f2")
        await until_shown(pilot, "Only notes with")
        app.screen.query_one("#since").value = "2030"
        await pilot.press("enter")
        await until_shown(pilot, "Nothing close in the notes (only: since 2030-01-01).")
        assert not main_screen(app).query_one(ClosestLine).display
        assert "read as: turning right" in flat(app)

    drive(built_shop, steps)


def test_what_narrows_the_search_is_named_beside_nothing_close() -> None:
    assert (
        closest_words("far", "system wheels") == "nothing close in the notes (only: system wheels)"
    )
    assert closest_words("none", "") == "nothing close in the notes"
    assert closest_words("close", "system wheels") == closest_words("related", "") == ""


@SIZES
def test_the_reasons_stand_below_the_cautions_and_above_the_findings(
    built_shop: Shop, size: tuple[int, int]
) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, f"C1095, wheel bearing play 0.03 mm, {ASKED}")
        await until_shown(pilot, "Case 2024-0101")
        shown = app.screen.query_one("#findings-text").content.plain  # type: ignore[attr-defined]
        shown = " ".join(shown.split())
        places = [
            shown.index(text)
            for text in (
                "!! stands under the axle",
                'agrees: from 35 mph ("35 mph and up")',
                "against: asked turning left, the note says not when turning left",
                "states C1095",
                "value: 0.03 mm ~ 0.03 mm",
                "names: ",
                "Findings:",
            )
        ]
        assert places == sorted(places)
        await until_shown(pilot, "agrees: from 35 mph", "against: asked turning left")

    drive(built_shop, steps, size)


def test_where_there_is_little_room_usual_cautions_leave_some_to_the_reasons() -> None:
    cautions = Cautions(
        unread="", own=("own",), usual=("one", "two", "three", "four"), standing="last"
    )
    short = [said.text for said in caution_lines(cautions, False, 2)]
    assert short == ["own", "one", "3 more usual cautions: F3 shows all", "last"]
    whole = [said.text for said in caution_lines(cautions, True)]
    assert whole == ["own", "one", "two", "three", "four", "last"]


@SIZES
def test_a_misread_condition_is_dropped_and_taken_back(
    built_shop: Shop, size: tuple[int, int]
) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, ASKED)
        await pilot.press("ctrl+r")
        await until(pilot, lambda: isinstance(app.screen, ReadingDialog))
        text = flat(app)
        assert '> counts from 40 mph from "from 40 mph"' in text
        assert 'counts turning left from "turning left"' in text
        assert 'counts not on the overrun from "on the overrun"' in text
        await pilot.press("down", "space")
        await until_shown(pilot, '> dropped turning left from "turning left"')
        await pilot.press("escape")
        wanted = "read as: from 40 mph; not on the overrun | dropped: turning left"
        await until_shown(pilot, wanted)
        assert "against: asked turning left" not in flat(app)
        await pilot.press("ctrl+r")
        await until_shown(pilot, 'dropped turning left from "turning left"')
        await pilot.press("down", "enter")
        await until_shown(pilot, 'counts turning left from "turning left"')
        await pilot.press("ctrl+r")
        await until_shown(pilot, "read as: from 40 mph; turning left; not on the overrun")
        assert "dropped" not in flat(app)

    drive(built_shop, steps, size)


def test_what_is_dropped_stays_so_until_its_words_are_gone(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, ASKED)
        await pilot.press("ctrl+r")
        await until(pilot, lambda: isinstance(app.screen, ReadingDialog))
        await pilot.press("down", "space", "escape")
        await until_shown(pilot, "dropped: turning left")
        await find(app, pilot, f"front {ASKED}")
        await until_shown(pilot, "at the front; from 40 mph; not on the overrun | dropped: turning")
        await find(app, pilot, "hums from 40 mph")
        await until(pilot, lambda: "dropped" not in flat(app))
        await find(app, pilot, ASKED)
        await until_shown(pilot, "read as: from 40 mph; turning left; not on the overrun")
        assert "dropped" not in flat(app)

    drive(built_shop, steps)


@SIZES
def test_the_dialog_says_so_where_nothing_was_read(built_shop: Shop, size: tuple[int, int]) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        for symptom in ("", "hums"):
            main_screen(app).query_one(SymptomLine).value = symptom
            await pilot.pause(0.4)
            await pilot.press("ctrl+r")
            await until_shown(pilot, "No condition was read from the symptom.")
            await pilot.press("space", "down", "enter", "escape")
            assert app.screen is main_screen(app)

    drive(built_shop, steps, size)


def test_dropping_everything_still_answers(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, ASKED)
        await pilot.press("ctrl+r")
        await until(pilot, lambda: isinstance(app.screen, ReadingDialog))
        await pilot.press("space", "down", "space", "down", "space", "escape")
        await until_shown(pilot, "read as: no condition | dropped: from 40 mph; turning left; not")
        await until_shown(pilot, "Case 2024-0101")

    drive(built_shop, steps)


def test_a_session_asks_the_engine_without_what_is_dropped(built_shop: Shop) -> None:
    session = Session(built_shop)
    session.open()
    whole = session.find(ASKED, None)
    dropped = frozenset([("steer", "left", "present")])
    first = session.find(ASKED, None, dropped)  # the text it has just read
    other = Session(built_shop)
    other.open()
    second = other.find(ASKED, None, dropped)  # a text it has not read yet
    for found in (first, second):
        assert found.answer is not None and whole.answer is not None
        assert found.answer.question == Question(ASKED, dropped=dropped)
        assert found.understood == Understood(whole.answer.readings, dropped)
        assert left(found.understood.readings) not in found.answer.readings
    assert session.find("hums", None, dropped).understood == Understood()
    gone = session.find("", None, dropped)
    assert gone.answer is None and gone.understood == Understood()


def test_a_stale_drop_is_forgotten_and_the_order_of_the_words_kept() -> None:
    readings = read_conditions(ASKED)
    both = frozenset([("steer", "left", "present"), ("temp", "cold", "present")])
    assert still_read(readings, both) == {("steer", "left", "present")}
    assert still_read((), both) == frozenset()
    understood = Understood(readings).turned(1)
    assert understood.dropped == {("steer", "left", "present")}
    assert understood.turned(1) == Understood(readings)
    rows = [row.plain for row in reading_rows(understood, 2)]
    assert [row[:10] for row in rows] == ["  counts  ", "  dropped ", "> counts  "]


@pytest.mark.parametrize("width", range(1, 120, 7))
def test_the_reading_never_takes_more_than_its_row_and_hides_nothing_dropped(width: int) -> None:
    understood = Understood(read_conditions(LONG)).turned(1).turned(4)
    row = understood_row(understood, width)
    assert row.cell_length <= max(width, 2) and "\n" not in row.plain
    if width >= 30:
        assert " | dropped: " in row.plain
    assert understood_row(Understood(), 40).plain == "read as: no condition"


def test_d01_what_the_symptom_holds_is_shown_harmless_in_the_dialog(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "[/] hums [P0301] turning\u202e left [@click=app.quit]cold[/]")
        await pilot.press("ctrl+r")
        await until(pilot, lambda: isinstance(app.screen, ReadingDialog))
        text = text_of(app)
        assert "\u202e" not in text and "counts" in text
        await pilot.press("space", "escape")
        await until_shown(pilot, "dropped:")
        assert main_screen(app).query_one(ReadingLine).display

    drive(built_shop, steps)
