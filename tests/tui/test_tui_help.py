"""Help on every screen and dialog, the palette, the row of keys."""

from __future__ import annotations

import pytest
from textual.app import App
from textual.pilot import Pilot
from textual.widgets import Input

from benchlore.shop import Shop
from benchlore.tui.app import BenchloreApp
from benchlore.tui.ask_dialog import AskDialog
from benchlore.tui.commands import EVERYWHERE, ON_FIND, ON_NOTE
from benchlore.tui.help_screen import HelpScreen
from benchlore.tui.help_text import key_name, keys_of
from benchlore.tui.key_line import ShownKey, fit_keys
from benchlore.tui.looks import DARK, LIGHT
from tui.screens import NARROW, WIDE, drive, find, flat, main_screen, text_of, until, until_shown

PLACES = {
    "main": [],
    "note": ["enter"],
    "cautions": ["f3"],
    "look": ["f4"],
    "filters": ["f2"],
    "reading": ["ctrl+r"],
    "links": ["enter", "l"],
    "files": ["enter", "a"],
}


@pytest.mark.parametrize("place", PLACES)
def test_help_opens_everywhere_and_says_something_of_the_place(
    built_shop: Shop, place: str
) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums loud on right-handers")
        for key in PLACES[place]:
            await pilot.press(key)
            await pilot.pause(0.3)
        screen = app.screen
        title = screen.ABOUT.title  # type: ignore[attr-defined]
        await pilot.press("f1")
        await until(pilot, lambda: isinstance(app.screen, HelpScreen))
        assert title in text_of(app)
        await pilot.press("f1", "escape")
        assert app.screen is screen

    drive(built_shop, steps, WIDE)


def test_help_on_the_question_about_a_web_link(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        app.push_screen(AskDialog("https://x.invalid"))
        await until_shown(pilot, "https://x.invalid")
        await pilot.press("f1")
        await until_shown(pilot, "Look at the whole address")

    drive(built_shop, steps)


def test_every_screen_has_a_help_text() -> None:
    from benchlore.tui import (
        cautions_screen,
        filter_dialog,
        find_screen,
        links_dialog,
        look_screen,
        note_screen,
        reading_dialog,
        small_screen,
    )

    for module in (
        cautions_screen,
        filter_dialog,
        find_screen,
        links_dialog,
        look_screen,
        note_screen,
        reading_dialog,
        small_screen,
    ):
        for name, value in vars(module).items():
            if name.endswith(("Screen", "Dialog")) and value.__module__ == module.__name__:
                assert value.ABOUT.title and value.ABOUT.paragraphs, name


def test_every_binding_has_an_id_and_says_what_it_does() -> None:
    from textual.binding import Binding

    from benchlore.tui.find_screen import FindScreen
    from benchlore.tui.note_screen import NoteScreen
    from benchlore.tui.reading_dialog import ReadingDialog, ReadingList

    for node in (BenchloreApp, FindScreen, NoteScreen, ReadingDialog, ReadingList):
        for binding in node.BINDINGS:
            assert isinstance(binding, Binding)
            assert binding.id and binding.description


@pytest.mark.parametrize("place", ["main", "note"])
def test_the_palette_offers_our_commands_and_no_others(built_shop: Shop, place: str) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums loud on right-handers")
        for key in PLACES[place]:
            await pilot.press(key)
            await pilot.pause(0.3)
        await pilot.press("ctrl+p")
        own = ON_FIND if place == "main" else ON_NOTE
        await until_shown(pilot, own[0].name)
        options = app.screen.query_one("CommandList")
        names = [str(options.get_option_at_index(i).hit.text) for i in range(options.option_count)]
        assert names == [command.name for command in (*own, *EVERYWHERE)]

    drive(built_shop, steps, WIDE)


def test_a_command_of_the_palette_runs(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums loud on right-handers")
        await pilot.press("ctrl+p")
        await pilot.press(*"narrow")
        await until_shown(pilot, "search: narrow")
        await pilot.pause(0.5)
        await pilot.press("enter")
        await until_shown(pilot, "Only notes with")

    drive(built_shop, steps)


def test_every_command_is_named_area_and_action() -> None:
    for command in (*ON_FIND, *ON_NOTE, *EVERYWHERE):
        area, _, action = command.name.partition(": ")
        assert area and action and command.says


def test_the_look_changes_between_dark_and_light(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        assert app.theme == DARK.name
        await pilot.press("ctrl+t")
        assert app.theme == LIGHT.name

    drive(built_shop, steps)


def test_quit_ends_with_zero(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await pilot.press("ctrl+q")
        await until(pilot, lambda: app.return_value == 0)

    drive(built_shop, steps)


def test_help_and_quit_stay_in_a_narrow_row() -> None:
    keys = [
        ShownKey("f1", "F1", "Help", True),
        *(ShownKey(f"f{n}", f"F{n}", "Something", False) for n in range(2, 9)),
        ShownKey("ctrl+q", "Ctrl+Q", "Quit", True),
    ]
    for width in range(24, 120):
        kept = fit_keys(keys, width)
        assert [key.says for key in kept if key.stays] == ["Help", "Quit"]
        assert sum(key.width for key in kept) <= width
    assert fit_keys(keys, 200) == keys


def test_keys_are_written_as_on_the_keyboard() -> None:
    from textual.binding import Binding

    names = {
        "f1": "F1",
        "ctrl+q": "Ctrl+Q",
        "escape": "Esc",
        "slash": "/",
        "ctrl+down": "Ctrl+Down",
        "n": "n",
    }
    for key, name in names.items():
        assert key_name(Binding(key, "x")) == name


def test_the_keys_of_one_action_stand_in_one_row_each_by_its_name() -> None:
    from textual.binding import Binding

    bindings = [Binding("escape,ctrl+r", "back", "Close"), Binding("space", "turn", "Drop")]
    assert keys_of(bindings) == (("Esc, Ctrl+R", "Close"), ("Space", "Drop"))


@pytest.mark.parametrize(("size", "also"), [(NARROW, []), (WIDE, ["F4 Mend", "Ctrl+P More"])])
def test_the_row_of_keys_uses_the_width(
    built_shop: Shop, size: tuple[int, int], also: list[str]
) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        shown = text_of(app).split("\n")[-1]
        for keys in ("F1 Help", "F2 Narrow", "F3 Cautions", "F7 Add up", *also, "Ctrl+Q Quit"):
            assert keys in shown

    drive(built_shop, steps, size)


def test_the_field_is_focused_at_the_start(built_shop: Shop) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        assert isinstance(app, App)
        assert isinstance(app.focused, Input)
        assert app.focused.id == "symptom"
        assert "hums from 30 mph" in flat(app)
        assert main_screen(app) is app.screen

    drive(built_shop, steps, NARROW)
