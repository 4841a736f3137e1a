"""One full write-up, counted: keys pressed in the form beside the same note typed by hand.

The technician of this test is simple: he types a field letter by letter and takes the offered word
as soon as it is the one he wants; he goes on with Tab, Enter or PgDn, whichever is shortest.
"""

from __future__ import annotations

import shutil
from collections.abc import Mapping

import pytest
from textual.pilot import Pilot

from benchlore.notes import read_note
from benchlore.tui.app import BenchloreApp
from benchlore.tui.form_fields import FormField, FormLine
from benchlore.tui.near_dialog import NearDialog
from benchlore.tui.write_screen import WriteScreen
from shops import REPOSITORY, ShopFolder
from tui.screens import NARROW, drive, text_of, until

SINGLE: Mapping[str, str] = {
    "symptom": "Shudders through the pedal braking from motorway speed, worse when hot",
    "present": "braking from motorway speed, hot",
    "absent": "braking gently in town, cruising",
    "where": "front, through the pedal",
    "system": "brakes",
    "machine.make": "Ravelin",
    "machine.model": "Merrow",
    "machine.year": "2019",
    "machine.engine": "RL14T",
    "machine.odometer": "71200 miles",
    "outcome.result": "fixed",
    "outcome.date": "today",
    "outcome.comeback": "no",
    "cautions": "discs too hot to touch after the road test",
    "by": "KM",
}
ROWS: Mapping[str, list[dict[str, str]]] = {
    "checks": [
        {"check": "disc run-out, front left", "value": "0.14 mm", "limit": "<= 0.10 mm",
         "limit_from": "workshop manual", "minutes": "15", "points_to": "brake disc"},
        {"check": "disc thickness variation", "value": "0.03 mm", "limit": "<= 0.015 mm",
         "limit_from": "workshop manual", "minutes": "10"},
        {"check": "wheel bearing play", "found": "none", "minutes": "5",
         "rules_out": "wheel bearing"},
    ],
    "causes": [{"part": "hub face", "fault": "rust under the disc", "certainty": "proved"}],
    "routes": [{"route": "discs and pads, hub faces cleaned", "labour_hours": "1.6",
                "parts_cost": "142", "chosen": "yes"}],
}  # fmt: skip


class Typist:
    """Fills in the form and counts the keys."""

    def __init__(self, app: BenchloreApp, pilot: Pilot[int]) -> None:
        self._app = app
        self._pilot = pilot
        self.count = 0

    async def press(self, key: str) -> None:
        await self._pilot.press(key)
        self.count += 1

    async def go_to(self, key: str, table: str = "", row: int = 0) -> None:
        """By the fewest keys of Tab, Enter (next line) and PgDn (next block)."""
        fields = list(self._app.screen.query(FormField))
        lines = [tuple(each.query(FormField)) for each in self._app.screen.query(FormLine)]
        parents = [each.parent for each in self._app.screen.query(FormLine)]
        same = [f for f in fields if f.table == table and f.field.key == key]
        target = fields.index(same[row])
        line_of = {field: n for n, line in enumerate(lines) for field in line}
        ways: dict[int, list[str]] = {fields.index(self._app.focused): []}  # type: ignore[arg-type]
        waiting = list(ways)
        while target not in ways:
            at = waiting.pop(0)
            here = line_of[fields[at]]
            steps = {"tab": at + 1}
            if here + 1 < len(lines):
                steps["enter"] = fields.index(lines[here + 1][0])
            block = next((n for n in range(here + 1, len(lines))
                          if parents[n] is not parents[n - 1]), None)  # fmt: skip
            if block is not None:
                steps["pagedown"] = fields.index(lines[block][0])
            for name, place in steps.items():
                if place < len(fields) and place not in ways:
                    ways[place] = [*ways[at], name]
                    waiting.append(place)
        for name in ways[target]:
            await self.press(name)
        assert self._app.focused is same[row]

    async def fill(self, wanted: str) -> None:
        field = self._app.focused
        assert isinstance(field, FormField)
        for number in range(len(wanted) + 1):
            offer = field.first_offer
            if offer is not None and offer.text == wanted and len(wanted) - number > 1:
                await self.press("right")
                break
            if number < len(wanted):
                await self.press({" ": "space"}.get(wanted[number], wanted[number]))
        assert field.value == wanted


@pytest.fixture
def brake_shop(shop_folder: ShopFolder) -> ShopFolder:
    """A part of the demo shop, to be written into."""
    shutil.copytree(REPOSITORY / "kb" / "2024", shop_folder.root / "kb" / "2024")
    shop_folder.build()
    return shop_folder


def test_a_full_write_up_takes_at_most_six_tenths_of_the_keys(brake_shop: ShopFolder) -> None:
    before = set((brake_shop.root / "kb").rglob("*.md"))
    keys = 0

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        nonlocal keys
        typist = Typist(app, pilot)
        await typist.press("f8")
        await until(pilot, lambda: isinstance(app.screen, WriteScreen))
        screen = app.screen
        assert isinstance(screen, WriteScreen)
        await until(pilot, lambda: screen._foot.offers.words is not None)
        for key in list(SINGLE)[:10]:
            await typist.go_to(key)
            await typist.fill(SINGLE[key])
        for table, rows in ROWS.items():
            for number, row in enumerate(rows):
                for key, text in row.items():
                    await typist.go_to(key, table, number)
                    await typist.fill(text)
        for key in list(SINGLE)[10:]:
            await typist.go_to(key)
            text = screen._foot.offers._today.isoformat() if SINGLE[key] == "today" else SINGLE[key]
            await typist.fill(text)
        shown = text_of(app)
        assert all(len(line) <= 80 for line in shown.split("\n"))
        await typist.press("ctrl+s")
        if isinstance(app.screen, NearDialog):
            await typist.press("s")
        await until(pilot, lambda: not isinstance(app.screen, WriteScreen))
        keys = typist.count

    drive(brake_shop.shop, steps, NARROW, seconds=400)
    (new,) = set((brake_shop.root / "kb").rglob("*.md")) - before
    note = read_note("kb/new.md", new.read_bytes())
    assert len(note.checks) == 3 and note.causes[0].certainty == "proved"
    assert note.machine.engine == "RL14T" and not note.problems
    # An editor sets lines in by itself, so spaces at their beginning cost no key.
    by_hand = sum(len(line.lstrip()) + 1 for line in new.read_text().split("\n"))
    assert keys <= 0.6 * by_hand, f"{keys} keys in the form, {by_hand} by hand"
