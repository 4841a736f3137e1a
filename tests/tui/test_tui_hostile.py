"""Hostile text on the screens (rows D of the reliability table)."""

from __future__ import annotations

import pytest
from textual import events
from textual.pilot import Pilot

from benchlore.tui.app import BenchloreApp
from benchlore.tui.ask_dialog import AskDialog
from benchlore.tui.display import say
from benchlore.tui.note_screen import NoteScreen
from benchlore.tui.note_view import NoteView
from benchlore.tui.symptom_line import SymptomLine
from hostile import BIDI, BRACKETS, ESCAPES, note_with
from shops import ShopFolder
from terminal import use_on_a_terminal
from tui.screens import WIDE, drive, find, flat, main_screen, until, until_shown

NAME = "[P0301][Nm][@click=app.bell]"


@pytest.fixture
def bracket_shop(shop_folder: ShopFolder) -> ShopFolder:
    """Brackets in every field of a case and an article, in a broken note, and in file names."""
    text = " ".join(BRACKETS)
    shop_folder.write(f"kb/{NAME}.md", note_with(text))
    shop_folder.write(f"kb/broken {NAME}.md", "---\nsymptom: [P0301] hum: [\n[Nm]: {\n---\nhum\n")
    article = note_with(text).replace("case:", "title:").replace("cautions:", "covers:")
    shop_folder.write(f"articles/{NAME}.md", article)
    shop_folder.build()
    return shop_folder


def test_d02_brackets_are_shown_literally(bracket_shop: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hum [P0301] [Nm] [/] [@click=app.bell]")
        await until_shown(pilot, "hum [P0301] [Nm] [/] [@click=app.bell]", f"kb/{NAME}.md")
        for name in BRACKETS:
            # in list, headline, cautions, conditions, findings, ... and in the note beside them
            assert flat(app).count(name) > 8, name
        await pilot.press("enter")
        await until_shown(pilot, f"kb/{NAME}.md", *BRACKETS)
        await pilot.press("f3")
        await until_shown(pilot, "Cautions -", *BRACKETS)
        await pilot.press("escape", "escape", "f4")
        await until_shown(pilot, f"kb/broken {NAME}.md:")
        await pilot.press("escape", "f2")
        await until_shown(pilot, "[P0301]")
        app.screen.query_one("#system").value = "[/] [P0301]"
        app.screen.query_one("#since").value = "[/]"
        await until_shown(pilot, "[/] [P0301]")
        await pilot.press("enter")
        await until_shown(pilot, "write 2023, 2023-06")
        app.screen.query_one("#since").value = ""
        await pilot.press("enter")
        await until_shown(pilot, "only: system [/] [P0301] |", "(only: system [/] [P0301])")

    drive(bracket_shop.shop, steps, WIDE)


def test_d02_brackets_in_messages_and_links(bracket_shop: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        say(app, "bad [/] [P0301]")
        await until_shown(pilot, "bad [/] [P0301]")
        app.push_screen(AskDialog("https://x.invalid/[P0301][/]"))
        await until_shown(pilot, "https://x.invalid/[P0301][/]")

    drive(bracket_shop.shop, steps, WIDE)


def test_d03_bidi_and_hidden_characters_are_visible(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/bidi.md", note_with("".join(BIDI)))
    shop_folder.write("kb/marks.txt", "a hum e" + "\u0301" * 1000 + "\n")
    shop_folder.build()

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hum")
        await until_shown(pilot, "\u0301" * 8)
        await pilot.press("down")
        await until_shown(pilot, "<U+202E>", "<U+200B>", "<U+E0041>")
        assert not set("".join(BIDI)) & set(flat(app))
        assert "\u0301" * 9 not in flat(app)

    drive(shop_folder.shop, steps, WIDE)


def test_d01_what_is_typed_or_pasted_is_made_visible(shop_folder: ShopFolder) -> None:
    shop_folder.build()

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        field = main_screen(app).query_one(SymptomLine)
        field.post_message(events.Paste("hums\r\nfrom 30\x1b]52;c;aGVsbG8=\x07 \u202e\x9b31m"))
        await until(pilot, lambda: "hums" in field.value)
        assert field.value == "hums from 30\u241b]52;c;aGVsbG8=\u2407 <U+202E><U+009B>31m"
        field.value = "\x1b[31m"
        assert field.value == "\u241b[31m"
        field.value = ""
        field.post_message(events.Paste("x" * 100_000))
        await until(pilot, lambda: len(field.value) == 2000)

    drive(shop_folder.shop, steps)


async def click_link(pilot: Pilot[int], text: str) -> None:
    """Click on a link in the note on the screen."""
    app = pilot.app
    await until_shown(pilot, text)
    lines = ["".join(s.text for s in strip) for strip in app.screen._compositor.render_strips()]
    y = next(number for number, line in enumerate(lines) if text in line)
    x = lines[y].index(text) + 2
    await pilot.click(offset=(x, y))
    await pilot.pause(0.2)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("outside", "leads outside the shop folder: not opened"),
        ("a file", "a link of the kind file: is never opened"),
        ("a script", "a link of the kind javascript: is never opened"),
    ],
)
def test_d05_links_out_of_the_shop_are_refused(
    own_folder: ShopFolder, monkeypatch: pytest.MonkeyPatch, text: str, says: str
) -> None:
    opened: list[str] = []
    monkeypatch.setattr(BenchloreApp, "open_url", lambda self, url, **kw: opened.append(url))

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums loud on right-handers")
        await pilot.press("enter")
        await until(pilot, lambda: isinstance(app.screen, NoteScreen))
        await click_link(pilot, text)
        await until_shown(pilot, says)

    drive(own_folder.shop, steps, WIDE)
    assert opened == []


def test_d05_a_web_link_is_opened_only_after_a_yes_to_its_full_address(
    own_folder: ShopFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened: list[str] = []
    monkeypatch.setattr(BenchloreApp, "open_url", lambda self, url, **kw: opened.append(url))

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums loud on right-handers")
        await pilot.press("enter")
        for key in ("n", "escape"):
            await click_link(pilot, "the maker")
            await until_shown(pilot, "https://maker.invalid/hub?x=1")
            await pilot.press("enter", key)
            await until(pilot, lambda: isinstance(app.screen, NoteScreen))
            assert opened == []
        await click_link(pilot, "the maker")
        await pilot.press("y")
        await until(pilot, lambda: opened == ["https://maker.invalid/hub?x=1"])

    drive(own_folder.shop, steps, WIDE)


def test_d05_a_link_to_another_note_opens_it_here(own_folder: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await find(app, pilot, "hums loud on right-handers")
        await pilot.press("enter")
        await click_link(pilot, "hum article")
        await until_shown(pilot, "articles/hum.md", "Hold the speed")
        await pilot.press("escape", "l")
        await until_shown(pilot, "Links of this note", "2022-0033")
        await pilot.press("end", "enter")
        await until_shown(pilot, "kb/2022/tyres.md", "Toe was out")

    drive(own_folder.shop, steps, WIDE)


def test_a_mention_of_an_unknown_case_is_told(own_folder: ShopFolder) -> None:
    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        app.post_message(NoteView.LinkClicked("1999-[/]", "kb/2024/hum.md", mention=True))
        await until_shown(pilot, "no case 1999-[/] in these notes")

    drive(own_folder.shop, steps)


INJECTED = [
    *(each.encode() for each in ESCAPES if len(each) > 1),
    *(each.encode() for each in BIDI),
    *(chr(code).encode() for code in range(0x80, 0xA0)),
    b"\x1b]0;",
    b"\x1b]52",
    b"\x1b]8;",
    b"\x1bP",
    b"\x7f",
    b"\x08",
    b"\x0e",
]
"""Bytes that the program itself never sends, so that none may appear at all."""

PRESSED: list[tuple[bytes, float]] = [
    (b"hum", 3.0),
    (b"\x1b[200~ hum \x1b]0;x\x07 \xc2\x9b31m \xe2\x80\xae\x7f\x1b[201~", 2.0),
    (b"\x1b[B", 1.0),
    (b"\r", 2.0),
    (b"/before", 1.0),
    (b"\x1b", 1.0),
    (b"l", 1.0),
    (b"\x1b", 1.0),
    (b"\x1bOR", 1.0),  # F3
    (b"\x1b", 1.0),
    (b"\x1b", 1.0),
    (b"\x1bOQ", 1.0),  # F2
    (b"\x1b[B", 0.5),
    (b"\r", 0.5),
    (b"\r", 1.5),
    (b"\x1bOP", 1.0),  # F1
    (b"\x1b", 1.0),
    (b"\x1bOS", 1.5),  # F4
    (b"\x1b[B", 0.5),
    (b"\r", 1.5),
    (b"\x1b", 1.0),
    (b"\x1b", 1.0),
    (b"\x10", 1.0),  # commands
    (b"\x1b", 1.0),
    (b"\x1b[20~", 2.0),  # F9: cases that are due
    (b"o", 1.0),
    (b"fixed \xc2\x9b31m", 1.0),
    (b"\x1b", 1.0),
    (b"\r", 2.0),  # the note
    (b"a", 1.5),  # its files
    (b"\x1b", 1.0),
    (b"e", 3.0),  # the form on it
    *((b"\x1b[6~", 0.4),) * 8,  # page down to the free text
    (b"\x1b[200~ droning \x1b]0;x\x07 at 50 mph, P0301 \x1b[201~", 2.0),
    (b"\x12", 1.5),  # what the text says
    (b"\x1b", 1.0),
    (b"\x0c", 1.0),  # what is not said
    (b"\x07", 1.5),  # near cases
    (b"\x1b", 1.0),
    (b"\x1b", 1.0),
    (b"\x1b", 1.0),
    (b"\x1b", 1.0),
    (b"\x1b[19~", 2.0),  # F8: drafts, or the form
    (b"\x1b", 1.0),
    (b"\x11", 1.0),  # quit
]


@pytest.mark.parametrize("size", [(80, 24), (140, 40)])
def test_d01_nothing_from_a_note_acts_on_the_terminal(
    shop_folder: ShopFolder, size: tuple[int, int]
) -> None:
    bad = "".join(ESCAPES + BIDI)
    shop_folder.write("kb/hum.md", note_with(bad))
    shop_folder.write("kb/raw.txt", f"a hum {bad} before\n".encode())
    shop_folder.write("kb/\x1b]0;x\x07\u202ehum.md", f"# hum\n---\n[{bad}](x{bad}.md) &#27;[31m\n")
    shop_folder.write("kb/broken\x1b[31m.md", f"---\nsymptom: \x1b[31m: {bad}: [\n---\nhum\n")
    shop_folder.write("articles/a.md", note_with(bad).replace("case:", "title:"))
    shop_folder.build()
    sent = use_on_a_terminal(shop_folder.root, size, PRESSED)
    assert "\N{SYMBOL FOR ESCAPE}".encode() in sent, "the hostile notes were never on the screen"
    for bytes_ in INJECTED:
        assert bytes_ not in sent, bytes_
