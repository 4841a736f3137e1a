"""Cautions stand before findings, and every system has some."""

from __future__ import annotations

import pytest

from benchlore.evidence import cautions, wording
from benchlore.notes.model import Check, Lines, Machine, Note, Outcome, Route, Stated

LINES = Lines(1, 1)
DESIGN_SYSTEMS = (
    "engine cooling fuel ignition exhaust charging starting transmission driveline brakes steering"
    " suspension wheels hvac body hydraulics electrical"
)


@pytest.mark.parametrize("system", DESIGN_SYSTEMS.split())
def test_every_system_has_usual_cautions(system: str) -> None:
    assert cautions.usual_cautions([system])
    assert cautions.usual_cautions([system.upper() + " "]) == cautions.usual_cautions([system])


def test_cautions_of_several_systems_are_said_once() -> None:
    both = cautions.usual_cautions(["wheels", "driveline"])
    assert len(both) == len(set(both)) == len(cautions.usual_cautions(["wheels"]))


def test_a_system_nobody_knows_has_the_standing_line_only() -> None:
    note = Note("kb/a.md", "case", "", "", system="tea kettle")
    assert cautions.cautions_of(note).lines() == (cautions.standing_line(),)


def test_unread_cautions_come_first_then_the_notes_own() -> None:
    note = Note(
        "kb/a.md", "case", "", "", system="wheels",
        cautions=(Stated("mind the hub", LINES),), cautions_unread=True,
    )  # fmt: skip
    lines = cautions.cautions_of(note).lines()
    assert lines[:2] == (cautions.UNREAD, "mind the hub")
    assert lines[-1] == cautions.standing_line()


def test_lines_say_what_a_note_states_and_nothing_else() -> None:
    check = Check("play", LINES, value="0.14 mm", limit="<= 0.05 mm", ok="no")
    assert wording.finding_line(check) == "play: 0.14 mm (limit <= 0.05 mm) - not in order"
    assert (
        wording.finding_line(Check("spun by hand", LINES, found="rough")) == "spun by hand: rough"
    )
    assert wording.machine_line(Machine()) == ""
    route = Route("new bearing", LINES, parts_cost="85", labour_hours="2.2", chosen="yes")
    assert wording.route_line(route, "GBP") == "new bearing: parts 85 GBP, 2.2 h - chosen"
    assert wording.outcome_line(None) == "not recorded"
    assert wording.outcome_line(Outcome("fixed", LINES, comeback="true")) == "fixed, came back"
    assert (
        wording.outcome_line(Outcome("fixed", LINES, comeback="maybe")) == "fixed, comeback: maybe"
    )
