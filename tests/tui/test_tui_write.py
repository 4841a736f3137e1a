"""The write-up form: typing a case, what is shown of it, saving, drafts, clashes."""

from __future__ import annotations

import datetime
import time
from pathlib import Path

import pytest
from textual import events
from textual.pilot import Pilot

from benchlore.keeping.drafts import DraftKeeper, drafts_of
from benchlore.notes import read_note
from benchlore.tui.app import BenchloreApp
from benchlore.tui.drafts_dialog import DraftsDialog
from benchlore.tui.due_screen import DueScreen
from benchlore.tui.find_screen import FindScreen
from benchlore.tui.form_fields import FormField
from benchlore.tui.free_text import FreeText
from benchlore.tui.merge_dialog import MergeDialog
from benchlore.tui.near_dialog import NearDialog
from benchlore.tui.note_screen import NoteScreen
from benchlore.tui.outcome_dialog import OutcomeDialog
from benchlore.tui.proposals_dialog import ProposalsDialog
from benchlore.tui.write_screen import WriteScreen
from benchlore.writeup.casefile import save_case
from benchlore.writeup.form import Fields
from shops import ShopFolder
from tui.screens import NARROW, WIDE, drive, find, flat, text_of, until, until_shown

HUM = "kb/2024/hum.md"


async def open_form(app: BenchloreApp, pilot: Pilot[int]) -> WriteScreen:
    await pilot.press("f8")
    await until(pilot, lambda: isinstance(app.screen, WriteScreen))
    await until_shown(pilot, "symptom", "not complete:")
    screen = app.screen
    assert isinstance(screen, WriteScreen)
    return screen


def keys(text: str) -> list[str]:
    """`text` as the keys that type it."""
    names = {" ": "space"}
    return [names.get(char, char) for char in text]


def field(app: BenchloreApp, key: str, number: int = 0) -> FormField:
    """The field with this key, of a table's row `number`."""
    found = [each for each in app.screen.query(FormField) if each.field.key == key]
    return found[number]


async def fill(app: BenchloreApp, pilot: Pilot[int], key: str, text: str, number: int = 0) -> None:
    field(app, key, number).value = text
    await pilot.pause()


def notes_in(folder: ShopFolder) -> set[str]:
    return {str(file.relative_to(folder.root)) for file in (folder.root / "kb").rglob("*.*")}


@pytest.mark.parametrize("size", [NARROW, WIDE])
def test_a_case_is_written_with_the_keyboard_saved_and_found(
    own_folder: ShopFolder, size: tuple[int, int]
) -> None:
    before = notes_in(own_folder)

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        await pilot.press(*keys("squeals reversing, quiet forwards"), "tab")
        await pilot.press(*keys("reversing, cold"), "tab", *keys("hot"))
        await until_shown(pilot, "read as:")
        await fill(app, pilot, "case", "2026-0007")
        await fill(app, pilot, "check", "brake disc run-out")
        await fill(app, pilot, "value", "0.14 mm")
        await fill(app, pilot, "limit", "<= 0.10 mm")
        await until(pilot, lambda: len(app.screen.query("RowBlock")) == 4)
        field(app, "value").focus()
        await until_shown(pilot, "beyond at most 0.1 mm")
        await pilot.press("ctrl+s")
        await until(pilot, lambda: not isinstance(app.screen, WriteScreen))
        (new,) = notes_in(own_folder) - before
        note = read_note(new, (own_folder.root / new).read_bytes())
        assert new.startswith("kb/20") and new.endswith(
            "2026-0007-squeals-reversing-quiet-forwards.md"
        )
        assert [said.text for said in note.present] == ["reversing", "cold"]
        assert note.checks[0].value == "0.14 mm" and not note.problems
        assert note.date == datetime.date.today().isoformat()
        await find(app, pilot, "squeals when reversing")
        await until_shown(pilot, "2026-0007")

    drive(own_folder.shop, steps, size)
    assert drafts_of(own_folder.root) == ()


def test_the_form_is_complete_on_a_small_screen(own_folder: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        rows = text_of(app).split("\n")
        assert len(rows) == 24 and max(map(len, rows)) <= 80
        seen = " ".join(rows)
        for _ in range(30):
            await pilot.press("down")
            seen += " " + flat(app)
        for label in ("symptom", "shows", "not when", "where", "system", "codes", "make", "model",
                      "year", "engine", "odometer", "check 1", "found", "value", "limit", "from",
                      "minutes", "points to", "rules out", "cause 1", "fault", "certainty",
                      "repair 1", "hours", "parts", "outside", "taken", "outcome", "after",
                      "came back", "cautions", "see", "files", "case", "date", "by"):  # fmt: skip
            assert label in seen, label
        assert isinstance(app.focused, FreeText)

    drive(own_folder.shop, steps)


def test_what_is_typed_in_one_burst_lands_in_its_own_fields(own_folder: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        burst = [
            *"squeals",
            "tab",
            *"cold",
            "enter",
            *"hot",
            "down",
            *"front",
            "pagedown",
            *"runout",
        ]
        for key in burst:
            app.post_message(events.Key(key, key if len(key) == 1 else None))
        await until(pilot, lambda: field(app, "check").value == "runout")
        said = [field(app, key).value for key in ("symptom", "present", "absent", "where")]
        assert said == ["squeals", "cold", "hot", "front"]

    drive(own_folder.shop, steps)


def test_there_is_one_empty_row_to_go_on_with(own_folder: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        for number in range(3):
            await fill(app, pilot, "part", f"part {number}", number)
            rows = number + 2
            await until(
                pilot, lambda rows=rows: len(app.screen.query("#form-causes RowBlock")) == rows
            )
        for number in (2, 1):
            await fill(app, pilot, "part", "", number)
        await until(pilot, lambda: len(app.screen.query("#form-causes RowBlock")) == 2)
        field(app, "part", 1).focus()
        await pilot.press("pagedown")
        assert app.focused is field(app, "route")

    drive(own_folder.shop, steps)


def test_saving_twice_in_a_hurry_writes_one_note_and_help_may_lie_above(
    own_folder: ShopFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = notes_in(own_folder)

    def slow(root: Path, fields: Fields, body: str) -> str:
        time.sleep(0.6)
        return save_case(root, fields, body)

    monkeypatch.setattr("benchlore.writeup.sitting.save_case", slow)

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        await fill(app, pilot, "symptom", "rattles")
        await pilot.press("ctrl+s", "ctrl+s", "f1")
        await until(pilot, lambda: isinstance(app.screen, FindScreen))

    drive(own_folder.shop, steps)
    assert len(notes_in(own_folder) - before) == 1


def test_f04_where_no_draft_can_be_kept_escape_does_not_lose_the_text(
    own_folder: ShopFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    (own_folder.root / "file").write_text("")
    monkeypatch.setenv("BENCHLORE_DRAFTS", str(own_folder.root / "file" / "drafts"))

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        await fill(app, pilot, "symptom", "rattles")
        await until_shown(pilot, "no draft can be kept in")
        await pilot.press("escape")
        await until_shown(pilot, "What you typed cannot be kept: save it")
        assert isinstance(app.screen, WriteScreen)
        await pilot.press("ctrl+q")
        await pilot.pause(0.2)
        assert isinstance(app.screen, WriteScreen)

    drive(own_folder.shop, steps)


def test_a09_fields_that_the_form_cannot_show_whole_are_left_alone(own_folder: ShopFolder) -> None:
    long = "hums " * 700
    text = (
        f'---\nsymptom: {long.strip()}\nwhere: "a\u200db"\n'
        "checks:\n  - check:\n  - check: x # y\n---\n"
    )
    own_folder.write("kb/long.md", text)

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        app.change_note("kb/long.md")
        await until(pilot, lambda: isinstance(app.screen, WriteScreen))
        await until(pilot, lambda: len(app.screen.query(FormField)) > 20)
        assert field(app, "symptom").disabled and field(app, "where").disabled
        await fill(app, pilot, "by", "KM")
        await pilot.press("ctrl+s")
        await until(pilot, lambda: not isinstance(app.screen, WriteScreen))

    drive(own_folder.shop, steps)
    after = (own_folder.root / "kb/long.md").read_text()
    assert after == text.replace("\n---\n", "\nby: KM\n---\n")


def test_a_proposal_that_would_replace_something_says_so_and_is_left_out_of_all(
    own_folder: ShopFolder,
) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        await fill(app, pilot, "symptom", "my own words")
        app.screen.query_one(FreeText).focus()
        app.screen.query_one(FreeText).insert("Customer reports droning from the rear, P0301.\n")
        await pilot.press("ctrl+r")
        await until_shown(pilot, "replaces what")
        await pilot.press("a", "ctrl+s")
        await until(pilot, lambda: field(app, "codes").value == "P0301")
        assert field(app, "symptom").value == "my own words"

    drive(own_folder.shop, steps)


def test_right_takes_the_word_that_the_shop_uses(own_folder: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        screen = await open_form(app, pilot)
        await until(pilot, lambda: screen._foot.offers.words is not None)
        part = field(app, "part")
        part.focus()
        await pilot.press(*keys("front wh"))
        await until_shown(pilot, "Right takes front wheel bearing")
        await pilot.press("right")
        assert part.value == "front wheel bearing"
        field(app, "certainty").focus()
        await pilot.press("p", "right")
        assert field(app, "certainty").value == "proved"

    drive(own_folder.shop, steps)


def test_what_is_not_said_is_named_and_gone_to(own_folder: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        await fill(app, pilot, "symptom", "squeals")
        await fill(app, pilot, "check", "disc run-out")
        await fill(app, pilot, "value", "0.14 mm")
        await until_shown(pilot, "no limit for disc run-out")
        await pilot.press("ctrl+l")
        assert app.focused is field(app, "limit")

    drive(own_folder.shop, steps)


def test_what_cannot_be_right_is_named_before_it_is_saved(own_folder: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        await fill(app, pilot, "symptom", "misfires")
        await fill(app, pilot, "codes", "P03O1")
        await until_shown(pilot, "look at:", "P03O1")

    drive(own_folder.shop, steps)


def test_nearly_the_same_case_is_shown_before_saving(own_folder: ShopFolder) -> None:
    before = notes_in(own_folder)

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        for key, text in (
            ("symptom", "Hums from 35 mph at the front, loud on right-handers"),
            ("present", "35 mph and up, right-handers"),
            ("absent", "left-handers, standing still"),
            ("machine.make", "Halden"),
            ("machine.model", "Carrier 35"),
        ):
            await fill(app, pilot, key, text)
        await until_shown(pilot, "near case")
        await pilot.press("ctrl+s")
        await until(pilot, lambda: isinstance(app.screen, NearDialog))
        assert "2024-0101" in flat(app) and notes_in(own_folder) == before
        await pilot.press("escape")
        await pilot.press("ctrl+s")
        await until(pilot, lambda: not isinstance(app.screen, WriteScreen))

    drive(own_folder.shop, steps)
    assert len(notes_in(own_folder) - before) == 1


def test_a_pasted_job_card_is_taken_piece_by_piece(own_folder: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        text = app.screen.query_one(FreeText)
        text.focus()
        text.insert("Carrier 35, 142300 km. Cust reports droning from the rear above 50, P0301.\n")
        await pilot.press("ctrl+r")
        await until(pilot, lambda: isinstance(app.screen, ProposalsDialog))
        assert "codes: P0301" in flat(app)
        await pilot.press("a", "ctrl+s")
        await until(pilot, lambda: isinstance(app.screen, WriteScreen))
        await until(pilot, lambda: field(app, "codes").value == "P0301")
        assert "142300 km" in field(app, "machine.odometer").value
        assert app.screen.query_one(FreeText).text.startswith("Carrier 35")

    drive(own_folder.shop, steps)


def test_a12_what_is_typed_is_offered_again_after_the_program_is_gone(
    own_folder: ShopFolder,
) -> None:
    async def typing(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        await fill(app, pilot, "symptom", "rattles over cobbles")
        await until_shown(pilot, "draft kept")

    async def again(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await pilot.press("f8")
        await until(pilot, lambda: isinstance(app.screen, DraftsDialog))
        assert "rattles over cobbles" in flat(app)
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, WriteScreen))
        await until(pilot, lambda: field(app, "symptom").value == "rattles over cobbles")
        await pilot.press("ctrl+s")
        await until(pilot, lambda: not isinstance(app.screen, WriteScreen))

    drive(own_folder.shop, typing)
    drive(own_folder.shop, again)
    assert drafts_of(own_folder.root) == ()
    assert any("rattles-over-cobbles" in name for name in notes_in(own_folder))


def test_a_draft_is_thrown_away_only_when_asked_twice(own_folder: ShopFolder) -> None:
    DraftKeeper(own_folder.root).keep({"symptom": "rattles"}, "", datetime.datetime.now())

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await pilot.press("f8")
        await until(pilot, lambda: isinstance(app.screen, DraftsDialog))
        await pilot.press("d")
        assert len(drafts_of(own_folder.root)) == 1
        await pilot.press("d")
        await until(pilot, lambda: isinstance(app.screen, WriteScreen))

    drive(own_folder.shop, steps)
    assert drafts_of(own_folder.root) == ()


def test_a11_escape_and_quitting_lose_nothing(own_folder: ShopFolder) -> None:
    async def escape(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        await fill(app, pilot, "symptom", "rattles one")
        await pilot.press("escape")
        await until(pilot, lambda: not isinstance(app.screen, WriteScreen))

    async def leave(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await pilot.press("f8")
        await until(pilot, lambda: isinstance(app.screen, DraftsDialog))
        await pilot.press("n")
        await until(pilot, lambda: isinstance(app.screen, WriteScreen))
        await fill(app, pilot, "symptom", "rattles two")
        await pilot.press("ctrl+q")

    drive(own_folder.shop, escape)
    drive(own_folder.shop, leave)
    said = {str(draft.fields["symptom"]) for draft in drafts_of(own_folder.root)}
    assert said == {"rattles one", "rattles two"}


def test_one_field_changed_in_the_form_moves_nothing_else(own_folder: ShopFolder) -> None:
    before = (own_folder.root / HUM).read_bytes()

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        app.change_note(HUM)
        await until(pilot, lambda: isinstance(app.screen, WriteScreen))
        await until(pilot, lambda: field(app, "by").value == "")
        await fill(app, pilot, "machine.year", "2019")
        await pilot.press("ctrl+s")
        await until(pilot, lambda: not isinstance(app.screen, (WriteScreen, NearDialog)))

    drive(own_folder.shop, steps)
    assert (own_folder.root / HUM).read_bytes() == before.replace(b"year: 2018", b"year: 2019")


def test_a06_a_note_changed_meanwhile_is_put_together_by_hand(own_folder: ShopFolder) -> None:
    file = own_folder.root / HUM

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        app.change_note(HUM)
        await until(pilot, lambda: isinstance(app.screen, WriteScreen))
        await until(pilot, lambda: len(app.screen.query(FormField)) > 20)
        await fill(app, pilot, "symptom", "Hums, my words")
        theirs = file.read_bytes().replace(b"Hums from 35", b"Hums loudly from 35")
        file.write_bytes(theirs.replace(b"system: wheels", b"system: axles"))
        await pilot.press("ctrl+s")
        await until(pilot, lambda: isinstance(app.screen, MergeDialog))
        shown = flat(app)
        assert "symptom (both changed it)" in shown and "Hums, my words" in shown
        assert "Hums loudly from 35" in shown and "axles" in shown
        assert file.read_bytes() != theirs  # theirs stands, with the other change
        assert b"my words" not in file.read_bytes()
        await pilot.press("ctrl+s")
        await until(pilot, lambda: isinstance(app.screen, WriteScreen))
        await until(pilot, lambda: field(app, "system").value == "axles")
        assert field(app, "symptom").value == "Hums, my words"
        await pilot.press("ctrl+s")
        await until(pilot, lambda: not isinstance(app.screen, WriteScreen))

    drive(own_folder.shop, steps)
    after = file.read_bytes()
    assert b"symptom: Hums, my words" in after and b"system: axles" in after


def test_a02_a_full_disk_keeps_the_text(
    own_folder: ShopFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = notes_in(own_folder)

    def full(*arguments: object) -> str:
        from benchlore.errors import NotWritten

        raise NotWritten("not saved: disk full")

    monkeypatch.setattr("benchlore.writeup.sitting.save_case", full)

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        await fill(app, pilot, "symptom", "rattles")
        await pilot.press("ctrl+s")
        await until_shown(pilot, "not saved: disk full", "Your text is kept in")
        assert isinstance(app.screen, WriteScreen)

    drive(own_folder.shop, steps)
    assert notes_in(own_folder) == before
    assert [draft.fields["symptom"] for draft in drafts_of(own_folder.root)] == ["rattles"]


def test_a_fault_of_ours_while_saving_keeps_the_text_and_the_program(
    own_folder: ShopFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*arguments: object) -> str:
        raise RuntimeError("ours")

    monkeypatch.setattr("benchlore.writeup.sitting.save_case", broken)

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        await fill(app, pilot, "symptom", "rattles")
        await pilot.press("ctrl+s")
        await until_shown(pilot, "not saved: RuntimeError", "Your text is kept in")
        assert field(app, "symptom").value == "rattles"

    drive(own_folder.shop, steps)
    assert [draft.fields["symptom"] for draft in drafts_of(own_folder.root)] == ["rattles"]


def test_a05_a_folder_that_takes_no_notes_is_said_before_anything_is_typed(
    own_folder: ShopFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        "benchlore.tui.write_screen.why_not_writable", lambda root: "the folder is read-only"
    )

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        await until_shown(pilot, "kb/ takes no notes (the folder is read-only)")

    drive(own_folder.shop, steps)


def test_an_outcome_takes_one_key_and_one_line(own_folder: ShopFolder) -> None:
    file = own_folder.root / "kb/2022/tyres.md"
    before = file.read_text()

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await pilot.press("f9")
        await until(pilot, lambda: isinstance(app.screen, DueScreen))
        await until_shown(pilot, "due for another look")
        app.open_if_chosen("kb/2022/tyres.md")
        await until(pilot, lambda: isinstance(app.screen, NoteScreen))
        await until_shown(pilot, "New bearing first")
        await pilot.press("o")
        await until(pilot, lambda: isinstance(app.screen, OutcomeDialog))
        await pilot.press(*keys("came back after 3 weeks"))
        await until_shown(pilot, "would say: not fixed on", "came back after 3 weeks")
        await pilot.press("enter")
        await until(pilot, lambda: not isinstance(app.screen, OutcomeDialog))

    drive(own_folder.shop, steps)
    after = file.read_text()
    changed = [line for line in after.split("\n") if line not in before.split("\n")]
    assert len(changed) == 1 and changed[0].startswith("outcome: {result: not fixed")


def test_d01_a_draft_and_a_note_with_escapes_reach_the_screen_as_marks(
    own_folder: ShopFolder,
) -> None:
    own_folder.write("kb/esc.md", '---\nsymptom: "a\\x1b]0;x\\x07b [/] [P0301]"\n---\nx\x1by\n')

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        app.change_note("kb/esc.md")
        await until(pilot, lambda: isinstance(app.screen, WriteScreen))
        await until_shown(pilot, "[P0301]")
        assert "\x1b" not in text_of(app) and "\u241b" in text_of(app)
        assert app.screen.query_one(FreeText).read_only
        await pilot.press("ctrl+s")
        await until(pilot, lambda: not isinstance(app.screen, WriteScreen))

    drive(own_folder.shop, steps)
    assert b"x\x1by" in (own_folder.root / "kb/esc.md").read_bytes()


def test_two_notes_with_one_number_are_both_shown(own_folder: ShopFolder) -> None:
    own_folder.write("kb/2026-0009-hums.md", "---\ncase: 2026-0009\nsymptom: hums\n---\n")
    today = datetime.date.today().year
    own_folder.write(f"kb/{today}/2026-0009-hums.md", "---\ncase: 2026-0009\n---\nhums\n")

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        await fill(app, pilot, "case", "2026-0009")
        await fill(app, pilot, "symptom", "hums")
        await pilot.press("ctrl+s")
        if isinstance(app.screen, NearDialog):
            await pilot.press("s")
        await until_shown(pilot, "Another note begins with the same case number")
        assert "2026-0009-hums-2.md" in flat(app) and "2026-0009-hums.md" in flat(app)

    drive(own_folder.shop, steps)


def test_help_tells_the_keys_of_the_form(own_folder: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_form(app, pilot)
        await pilot.press("f1")
        await until_shown(pilot, "Writing up a case")

    drive(own_folder.shop, steps)
