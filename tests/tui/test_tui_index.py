"""What the screens say of an index that is missing, damaged or newer, and of broken notes."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Callable
from pathlib import Path

from textual.pilot import Pilot

from benchlore.index import folder as index_folder
from benchlore.shop import Shop
from benchlore.tui.app import BenchloreApp
from benchlore.tui.case_list import CaseList
from benchlore.tui.note_screen import NoteScreen
from benchlore.tui.symptom_line import SymptomLine
from shops import ShopFolder
from tui.screens import drive, find, flat, main_screen, status, until, until_shown


def test_an_empty_shop_says_what_to_do(shop_folder: ShopFolder) -> None:
    shop_folder.build()

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await until_shown(pilot, "There are no case notes", "kb/", "F5")

    drive(shop_folder.shop, steps)


def test_e01_a_missing_index_is_built_while_one_types(own_folder: ShopFolder) -> None:
    (own_folder.root / "index" / "manifest").unlink()

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await pilot.press(*"hums")
        assert main_screen(app).query_one(SymptomLine).value == "hums"
        await until_shown(pilot, "Hums from 35 mph", seconds=250)

    # Without the manifest the exported encoder is not used again: this is a whole first build.
    drive(own_folder.shop, steps, seconds=300)


def test_a_build_is_shown_and_can_be_stopped(own_folder: ShopFolder) -> None:
    (own_folder.root / "index" / "manifest").unlink()

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await until_shown(pilot, "bringing the index up to date", "F6 stops it")
        await pilot.press("f6")
        await until_shown(pilot, "making it was stopped", "F5 goes on with it")

    drive(own_folder.shop, steps)


def test_e02_a_damaged_index_is_built_anew_and_nothing_is_answered_from_it(
    own_folder: ShopFolder,
) -> None:
    store = max((own_folder.root / "index").glob("store-*.sqlite"))
    data = bytearray(store.read_bytes())
    data[len(data) // 2] ^= 1
    store.write_bytes(data)

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums at the front")
        assert status(app).notes == 6

    drive(own_folder.shop, steps)


def test_e03_an_index_of_a_newer_program_is_left_alone(own_folder: ShopFolder) -> None:
    manifest = own_folder.root / "index" / "manifest"
    table = json.loads(manifest.read_bytes().split(b"\n")[0])
    body = json.dumps({**table, "schema": 999, "version": "9.9"}).encode()
    manifest.write_bytes(body + b"\n" + hashlib.sha256(body).hexdigest().encode() + b"\n")
    before = manifest.read_bytes()

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await until_shown(pilot, "made by a newer benchlore (9.9)", "use that version")
        await pilot.pause(0.5)
        assert status(app).building == ""

    drive(own_folder.shop, steps)
    assert manifest.read_bytes() == before


def test_changed_notes_are_picked_up_after_the_start(own_folder: ShopFolder) -> None:
    own_folder.write("kb/new.md", "# Whistles like a kettle under boost\n\nHose split.\n")

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await pilot.press(*"whistles", "space", *"kettle")
        await until_shown(pilot, "> Whistles like a kettle under boost")
        assert status(app).notes == 7

    drive(own_folder.shop, steps, renew=True)


def test_another_build_at_the_same_time_is_no_error(own_folder: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await pilot.press("f5")
        await until(pilot, lambda: status(app).building == "")
        assert status(app).notice == ""
        await find(app, pilot, "hums at the front")

    with index_folder.locked(own_folder.shop.index):
        drive(own_folder.shop, steps)


def test_e05_an_index_that_cannot_be_written_is_told(own_folder: ShopFolder) -> None:
    shutil.rmtree(own_folder.root / "kb")
    shutil.rmtree(own_folder.root / "articles")
    (own_folder.root / "kb").mkdir()
    (own_folder.root / "articles").mkdir()

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await until_shown(pilot, "kb/ and articles/ are empty, the index knows 6 notes")

    drive(own_folder.shop, steps, renew=True)


def test_e10_without_the_expected_model_the_screen_says_so(
    new_shop: Callable[[str], ShopFolder], tmp_path: Path
) -> None:
    folder = new_shop("no-model")
    model = tmp_path / "model"
    model.mkdir()
    (model / "model.safetensors").write_bytes(b"not a model")
    folder.write("shop.toml", f'[model]\nfolder = "{model}"\nsha256 = "{"0" * 64}"\n')
    folder.write("kb/hum.md", "# Hums from 35 mph\n")
    folder.build()

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await until_shown(pilot, "not the expected model: word search only")
        await find(app, pilot, "hums")
        for key in ("enter", "f1", "escape", "f3", "escape", "escape", "f2", "escape", "f4"):
            await pilot.press(key)
            await until_shown(pilot, "not the expected model: word search only")

    drive(folder.shop, steps)


def test_b16_a_note_that_is_gone_is_named_as_such(own_folder: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums loud on right-handers")
        (own_folder.root / "kb/2024/hum.md").unlink()
        await pilot.press("enter")
        await until_shown(pilot, "gone since the index was built", "kb/2024/hum.md")

    drive(own_folder.shop, steps)


def test_a_note_changed_since_the_build_is_shown_as_it_is_now(own_folder: ShopFolder) -> None:
    own_folder.write("kb/2024/hum.md", "now it says something else\n")

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums loud on right-handers")
        await pilot.press("enter")
        await until_shown(pilot, "changed since the index was built", "now it says something else")

    drive(own_folder.shop, steps)


def test_broken_notes_are_counted_listed_and_opened_at_their_line(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await until_shown(pilot, "1 note needs a look: F4 shows it")
        await pilot.press("f4")
        await until_shown(pilot, "kb/unread.md:", "to do:")
        await pilot.press("down", "enter")
        await until_shown(pilot, "cautions: [hot oil when the plug comes out")
        assert isinstance(app.screen, NoteScreen)

    drive(built_shop, steps)


def test_c20_unread_cautions_are_said_before_any_finding(built_shop: Shop) -> None:
    words = "STOP: the cautions of this note could not be read"

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "howls from the back axle on the overrun")
        hit = main_screen(app).query_one(CaseList).hit
        assert hit is not None and hit.note.path == "kb/unread.md"
        text = flat(app)
        assert text.index(words) < text.index("Findings:")
        await pilot.press("enter")
        await until_shown(pilot, words, "Pinion bearing slack")
        assert flat(app).index(words) < flat(app).index("kb/unread.md")
        await pilot.press("f3")
        await until_shown(pilot, "Cautions -", words)

    drive(built_shop, steps)
