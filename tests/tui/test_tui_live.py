"""Notes that change while the program runs are found without a restart."""

from __future__ import annotations

import subprocess
import sys

from textual.pilot import Pilot

from benchlore.index.manifest import read_manifest
from benchlore.index.opened import open_index
from benchlore.search.engine import Engine
from benchlore.search.results import Question
from benchlore.tui.app import BenchloreApp
from benchlore.tui.case_list import CaseList
from benchlore.tui.session import Session
from shops import ShopFolder
from tui.screens import drive, find, main_screen, status, until, until_shown

KETTLE = "# Whistles like a kettle under boost\n\nThe hose was split along the clip.\n"
HUM_TOO = """---
symptom: Hums from 35 mph at the front, loud on right-handers, hums
system: wheels
present: [35 mph and up, right-handers]
absent: [left-handers]
codes: [C1095]
---
Another bearing.
"""


def settled(app: BenchloreApp) -> bool:
    """The program has started, looked for changed notes and is waiting for more."""
    keeper = main_screen(app)._keeper
    return keeper._watching.is_set() and keeper._job is None and not status(app).building


def chosen(app: BenchloreApp) -> str:
    hit = main_screen(app).query_one(CaseList).hit
    return hit.note.path if hit else ""


def generation(folder: ShopFolder) -> int:
    return read_manifest(folder.shop.index, folder.shop.root).generation


def test_a_note_saved_by_another_program_is_found_before_any_build(own_folder: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await until(pilot, lambda: settled(app))
        await find(app, pilot, "whistles like a kettle")
        before = generation(own_folder)
        own_folder.write("kb/new.md", KETTLE)
        await until_shown(pilot, "Whistles like a kettle under boost", "1 note changed, found now")
        assert generation(own_folder) == before
        assert status(app).notes == 7

    drive(own_folder.shop, steps, renew=True)


def test_a_build_puts_it_on_disk_a_little_later_and_nothing_jumps(own_folder: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await until(pilot, lambda: settled(app))
        await find(app, pilot, "hums at the front")
        await pilot.press("down")
        selected = chosen(app)
        own_folder.write("kb/new.md", KETTLE)
        await until_shown(pilot, "1 note changed, found now")
        session = main_screen(app)._keeper.session
        assert session.is_ahead
        await until(pilot, lambda: not session.is_ahead, seconds=60)
        assert chosen(app) == selected
        answer = Engine(open_index(own_folder.shop)).find(Question("whistles like a kettle"))
        assert answer.cases[0].note.path == "kb/new.md"
        assert status(app).notes == 7 and not status(app).opening

    drive(own_folder.shop, steps, renew=True)


def test_the_selected_case_stays_selected_when_a_nearer_one_comes(own_folder: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await until(pilot, lambda: settled(app))
        await find(app, pilot, "hums from 35 mph at the front, loud on right-handers C1095")
        assert chosen(app) == "kb/2024/hum.md"
        own_folder.write("kb/hum-too.md", HUM_TOO)
        cases = main_screen(app).query_one(CaseList)
        await until(pilot, lambda: any(h.note.path == "kb/hum-too.md" for h in cases._hits))
        assert chosen(app) == "kb/2024/hum.md"

    drive(own_folder.shop, steps, renew=True)


def test_a_note_that_this_program_saves_is_found_at_once(own_folder: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "whistles like a kettle")
        own_folder.write("kb/new.md", KETTLE)
        main_screen(app)._keeper.note_saved("kb/new.md")
        await until_shown(pilot, "Whistles like a kettle under boost", "1 note changed, found now")

    drive(own_folder.shop, steps, renew=False)


def test_b08_a_note_that_another_editor_empties_is_found_until_it_stays_empty(
    own_folder: ShopFolder,
) -> None:
    text = (own_folder.root / "kb/2024/hum.md").read_bytes()

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await until(pilot, lambda: settled(app))
        await find(app, pilot, "hums loud on right-handers")
        own_folder.write("kb/2024/hum.md", text[:40])
        await pilot.pause(1.0)
        assert chosen(app) == "kb/2024/hum.md"
        own_folder.write("kb/2024/hum.md", text + b"\nAnd a zorbing noise.\n")
        await until_shown(pilot, "1 note changed, found now")
        await find(app, pilot, "zorbing noise")
        assert chosen(app) == "kb/2024/hum.md"
        own_folder.write("kb/2024/hum.md", b"")
        await until(pilot, lambda: chosen(app) != "kb/2024/hum.md", seconds=20)

    drive(own_folder.shop, steps, renew=True)


def test_many_changed_notes_are_left_to_a_build(own_folder: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await until(pilot, lambda: settled(app))
        for number in range(60):
            own_folder.write(f".many/{number}.md", f"# Rattles when cold, number {number}\n")
        (own_folder.root / ".many").rename(own_folder.root / "kb/many")
        await until(pilot, lambda: status(app).notes == 66, seconds=90)
        assert not main_screen(app)._keeper.session.is_ahead

    drive(own_folder.shop, steps, renew=True)


def test_an_answer_is_added_up_from_the_notes_that_it_came_from(own_folder: ShopFolder) -> None:
    session = Session(own_folder.shop)
    session.open()
    answer = session.find("hums from 35 mph at the front, loud on right-handers", None).answer
    assert answer is not None and answer.behind
    before = session.sum_up(answer, (), ())
    (own_folder.root / "kb/2024/hum.md").unlink()
    assert session.refresh(["kb/2024/hum.md"], certain=True).gone == ("kb/2024/hum.md",)
    assert session.sum_up(answer, (), ()) == before


def test_notes_brought_in_are_not_lost_when_the_index_is_opened_anew(
    own_folder: ShopFolder,
) -> None:
    session = Session(own_folder.shop)
    session.open()
    own_folder.write("kb/new.md", KETTLE)
    session.refresh(["kb/new.md"])
    own_folder.build()
    own_folder.write("kb/new.md", KETTLE + "And it gargles.\n")  # while the build ran, say
    session.refresh(["kb/new.md"])
    assert session.is_behind and session.open().notes == 7
    assert session.is_ahead and not session.is_behind
    answer = session.find("gargles", None).answer
    assert answer is not None and answer.cases[0].note.path == "kb/new.md"
    own_folder.build()
    session.open()
    assert not session.is_ahead


def test_neither_a_search_nor_the_first_paint_waits_for_the_watcher() -> None:
    program = (
        "import sys, benchlore.cli.find, benchlore.cli.main, benchlore.tui.app\n"
        "bad = {'watchfiles', 'benchlore.index.live', 'benchlore.index.watching'}\n"
        "print(sorted(bad & set(sys.modules)), 'benchlore.tui.index_keeper' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True)
    assert done.stdout.decode().strip() == "[] True"
