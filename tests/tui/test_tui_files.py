"""The files of a note on the screen: their state, a preview, opening them by a key."""

from __future__ import annotations

import os
import re

import pytest
from PIL import Image
from textual.color import Color
from textual.pilot import Pilot

from benchlore.errors import NoViewer
from benchlore.keeping import viewer
from benchlore.keeping.attachments import Attachment
from benchlore.shop import Shop
from benchlore.tui.app import BenchloreApp
from benchlore.tui.commands import ON_NOTE
from benchlore.tui.display import half_blocks
from benchlore.tui.files_dialog import FilesDialog
from benchlore.tui.help_screen import HelpScreen
from benchlore.tui.note_pane import Wanted
from benchlore.tui.note_screen import NoteScreen
from hostile import BIDI, BRACKETS, ESCAPES
from shops import ShopFolder
from tui.screens import NARROW, WIDE, drive, flat, text_of, until, until_shown

HALF = "\N{UPPER HALF BLOCK}"
RED, BLUE, WHITE = (255, 0, 0), (0, 0, 255), (255, 255, 255)


@pytest.fixture
def shop(shop_folder: ShopFolder) -> Shop:
    """A shop; notes written into it are read from disk."""
    shop_folder.build()
    (shop_folder.root / "kb" / "hum-files").mkdir()
    return shop_folder.shop


@pytest.fixture(autouse=True)
def colours(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm-256color")
    monkeypatch.delenv("COLORTERM", raising=False)


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[Attachment]:
    """What would have been handed to the viewer."""
    calls: list[Attachment] = []
    monkeypatch.setattr(viewer, "open_file", calls.append)
    return calls


def note_of(shop: Shop, *files: str) -> None:
    """A note that lists `files`."""
    listed = "".join(f"  - {_quoted(each)}\n" for each in files)
    text = f"---\nsymptom: hums at the rear\nfiles:\n{listed}---\nThe whole story.\n"
    (shop.root / "kb" / "hum.md").write_text(text if files else "hums at the rear\n")


def _quoted(text: str) -> str:
    return '"' + "".join(f"\\U{ord(c):08x}" if not c.isalnum() else c for c in text) + '"'


def picture(shop: Shop, name: str, upper: tuple[int, ...], lower: tuple[int, ...]) -> None:
    """A picture of 80 x 48 whose upper half has one colour and whose lower half another."""
    image = Image.new("RGB", (80, 48), upper)  # type: ignore[arg-type]
    image.paste(lower, (0, 24, 80, 48))  # type: ignore[arg-type]
    image.save(shop.root / "kb" / name)


async def open_note(app: BenchloreApp, pilot: Pilot[int]) -> None:
    app.push_screen(NoteScreen(app._session, Wanted("kb/hum.md")))
    await until_shown(pilot, "kb/hum.md")
    await until(pilot, lambda: app.screen._document is not None)  # type: ignore[attr-defined]


async def open_files(app: BenchloreApp, pilot: Pilot[int]) -> None:
    await open_note(app, pilot)
    await pilot.press("a")
    await until(pilot, lambda: isinstance(app.screen, FilesDialog))
    await until(pilot, lambda: "looking at them" not in flat(app))


def squeezed(text: str) -> str:
    """`text` without white space, borders and scroll bars: a window breaks lines anywhere."""
    return re.sub(r"[\s\u2500-\u257f\u2581-\u2587]", "", text)


async def until_said(pilot: Pilot[int], *texts: str) -> None:
    """Wait until all `texts` stand on the screen, wherever lines are broken."""
    await until(pilot, lambda: all(squeezed(t) in squeezed(text_of(pilot.app)) for t in texts))


def cells(app: BenchloreApp) -> list[list[tuple[tuple[int, ...], tuple[int, ...]]]]:
    """The colours, upper and lower, of the cells on the screen that hold half a block."""
    out = []
    for strip in app.screen._compositor.render_strips():
        found = []
        for segment in strip:
            if HALF in segment.text:
                assert set(segment.text) == {HALF}
                style = segment.style
                assert style is not None and style.color is not None and style.bgcolor is not None
                pair = tuple(style.color.triplet or ()), tuple(style.bgcolor.triplet or ())
                found += [pair] * len(segment.text)
        if found:
            out.append(found)
    return out


@pytest.mark.parametrize("size", [NARROW, WIDE])
def test_each_file_stands_with_its_state_in_words(shop: Shop, size: tuple[int, int]) -> None:
    picture(shop, "hum-files/hub.png", RED, BLUE)
    (shop.root / "kb/hum-files/run.jpg").write_bytes(b"#!/bin/sh\n")
    (shop.root / "kb/hum-files/scope.txt").write_text("1 V\n" * 1000)
    note_of(shop, "hum-files/hub.png", "hum-files/gone.jpg", "../../passwd",
            "hum-files/run.jpg", "hum-files/scope.txt", "http://x.invalid/a.png")  # fmt: skip

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_note(app, pilot)
        await until_said(pilot, "6 files: a | kb/hum.md")
        await open_files(app, pilot)
        await until_said(
            pilot,
            "6 files of this note",
            f"hum-files/hub.png image, {os.stat(shop.root / 'kb/hum-files/hub.png').st_size} bytes",
            "hum-files/gone.jpg missing",
            "../../passwd leads outside the shop folder: not opened",
        )
        await pilot.press("end")
        await until_said(
            pilot,
            "named .jpg, but its content is not JPEG: not opened",
            "hum-files/scope.txt text, 4 kB",
            "an address, not a file beside the note: not opened",
        )
        assert "F1 Help" in flat(app)
        await pilot.press("escape")
        assert isinstance(app.screen, NoteScreen)

    drive(shop, steps, size)


def test_enter_hands_the_marked_file_to_the_viewer(shop: Shop, opened: list[Attachment]) -> None:
    picture(shop, "a.png", RED, BLUE)
    picture(shop, "b.png", RED, BLUE)
    note_of(shop, "a.png", "b.png")

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_files(app, pilot)
        await pilot.press("down")
        assert opened == []  # marking a file opens nothing
        await pilot.press("enter")
        await until_said(pilot, "opened with the system's viewer: b.png")

    drive(shop, steps)
    assert [each.path for each in opened] == [shop.root / "kb" / "b.png"]


def test_what_may_not_be_opened_is_told_and_starts_nothing(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    started: list[object] = []
    monkeypatch.setattr("subprocess.Popen", lambda *args, **options: started.append(args))
    (shop.root / "kb" / "run.jpg").write_bytes(b"\x7fELF\x02\x01\x01")
    (shop.root / "kb" / "run.jpg").chmod(0o755)
    note_of(shop, "run.jpg", "../../../etc/passwd")

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_files(app, pilot)
        await pilot.press("enter")
        await until_said(pilot, "run.jpg: named .jpg, but its content is not JPEG: not opened")
        await pilot.press("down", "enter")
        await until_said(pilot, "../../../etc/passwd: leads outside the shop folder: not opened")

    drive(shop, steps, WIDE)
    assert started == []


def test_without_a_viewer_the_dialog_says_where_the_file_lies(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none(attachment: Attachment) -> None:
        raise NoViewer(f"no viewer found: the file lies at {attachment.path}", "copy it")

    monkeypatch.setattr(viewer, "open_file", none)
    picture(shop, "a.png", RED, BLUE)
    note_of(shop, "a.png")

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_files(app, pilot)
        await pilot.press("enter")
        await until_said(pilot, "no viewer found: the file lies at", "kb/a.png. copy it")

    drive(shop, steps, WIDE)


@pytest.mark.parametrize("size", [NARROW, WIDE])
def test_a_preview_has_the_colours_of_the_picture(shop: Shop, size: tuple[int, int]) -> None:
    picture(shop, "a.png", RED, BLUE)
    picture(shop, "b.png", BLUE, WHITE)
    note_of(shop, "a.png", "b.png")

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_files(app, pilot)
        await until(pilot, lambda: len(cells(app)) == 12)
        found = cells(app)
        assert {len(each) for each in found} == {40}
        # Six rows of cells to each half: where the colours meet, shrinking blends them.
        assert {pair for each in found[:5] for pair in each} == {(RED, RED)}
        assert {pair for each in found[-5:] for pair in each} == {(BLUE, BLUE)}
        await pilot.press("down")
        await until(pilot, lambda: cells(app)[:1] == [[(BLUE, BLUE)] * 40])
        assert cells(app)[-1] == [(WHITE, WHITE)] * 40
        assert "F1 Help" in flat(app) and "b.png" in flat(app)

    drive(shop, steps, size)


def test_two_pixels_stand_in_one_cell() -> None:
    made = half_blocks([[RED, BLUE], [BLUE, WHITE], [WHITE, RED]])
    assert made.plain == f"{HALF * 2}\n{HALF * 2}"
    styles = [span.style for span in made.spans]
    pairs = [(style.foreground, style.background) for style in styles]  # type: ignore[union-attr]
    colour = {name: Color(*name) for name in (RED, BLUE, WHITE)}
    assert pairs == [
        (colour[RED], colour[BLUE]),
        (colour[BLUE], colour[WHITE]),
        (colour[WHITE], None),
        (colour[RED], None),
    ]


def test_a_photo_taken_with_the_camera_turned_is_upright(shop: Shop) -> None:
    exif = Image.Exif()
    exif[274] = 6  # the top of the scene is on the left
    image = Image.new("RGB", (800, 480), RED)
    image.paste(BLUE, (400, 0, 800, 480))
    image.save(shop.root / "kb" / "a.jpg", exif=exif, quality=95)
    note_of(shop, "a.jpg")

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_files(app, pilot)
        await until(pilot, lambda: len(cells(app)) == 12)
        found = cells(app)
        assert {len(each) for each in found} == {14}
        assert all(pair[0][0] > 200 > 60 > pair[0][2] for pair in found[0])
        assert all(pair[1][2] > 200 > 60 > pair[1][0] for pair in found[-1])

    drive(shop, steps)


@pytest.mark.parametrize(
    ("name", "value"), [("NO_COLOR", "1"), ("NO_COLOR", ""), ("TERM", "dumb"), ("TERM", "xterm")]
)
def test_there_is_no_preview_without_colours(
    shop: Shop, monkeypatch: pytest.MonkeyPatch, name: str, value: str
) -> None:
    monkeypatch.setenv(name, value)
    picture(shop, "a.png", RED, BLUE)
    note_of(shop, "a.png")

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_files(app, pilot)
        await until_said(pilot, "a.png image", "no preview on this terminal")
        assert HALF not in text_of(app)

    drive(shop, steps)


def test_a_broken_picture_and_one_too_large_are_told(shop: Shop) -> None:
    picture(shop, "a.png", RED, BLUE)
    whole = (shop.root / "kb/a.png").read_bytes()
    (shop.root / "kb/a.png").write_bytes(whole[: len(whole) // 2])
    Image.new("1", (20_000, 20_000)).save(shop.root / "kb/bomb.png")
    (shop.root / "kb/c.pdf").write_bytes(b"%PDF-1.7\n")
    note_of(shop, "a.png", "bomb.png", "c.pdf")

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_files(app, pilot)
        await until_said(pilot, "cannot be shown: damaged")
        await pilot.press("down")
        await until_said(pilot, "cannot be shown: more pixels than a preview may take")
        await pilot.press("down")
        await until_said(pilot, "no preview of a file of this kind")

    drive(shop, steps)


def test_a_note_without_files_says_so(shop: Shop) -> None:
    note_of(shop)

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_note(app, pilot)
        assert "files: a" not in flat(app)
        await pilot.press("a")
        await until_said(pilot, "This note lists no files. Esc goes back.")
        await pilot.press("enter", "down", "escape")
        assert isinstance(app.screen, NoteScreen)

    drive(shop, steps)


def test_one_file_listed_twice_stands_once(shop: Shop) -> None:
    picture(shop, "a.png", RED, BLUE)
    note_of(shop, "a.png", "a.png")

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_note(app, pilot)
        await until_said(pilot, "1 file: a | kb/hum.md")
        await open_files(app, pilot)
        await until_said(pilot, "1 file of this note")

    drive(shop, steps)


def test_help_says_what_the_files_are(shop: Shop) -> None:
    picture(shop, "a.png", RED, BLUE)
    note_of(shop, "a.png")

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_files(app, pilot)
        await pilot.press("f1")
        await until(pilot, lambda: isinstance(app.screen, HelpScreen))
        await until_said(pilot, "Files of this note", "Nothing is ever run", "Back to the note")

    drive(shop, steps, WIDE)


def test_the_palette_opens_the_files_too() -> None:
    command = next(each for each in ON_NOTE if each.name == "note: files")
    assert command.action == "screen.files"
    assert callable(NoteScreen.action_files)


def test_b03_a_link_out_of_the_shop_is_told(shop: Shop) -> None:
    picture(shop, "a.png", RED, BLUE)
    (shop.root / "kb/a.png").rename(shop.root.parent / "secret.png")
    (shop.root / "kb/link.png").symlink_to(shop.root.parent / "secret.png")
    note_of(shop, "link.png")

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_files(app, pilot)
        await until_said(pilot, "link.png leads outside the shop folder: not opened")
        assert HALF not in text_of(app)

    drive(shop, steps)


def test_b04_a_pipe_is_told_and_not_waited_on(shop: Shop) -> None:
    os.mkfifo(shop.root / "kb/pipe.png")
    note_of(shop, "pipe.png")

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_files(app, pilot)
        await until_said(pilot, "pipe.png not a plain file: not opened")
        await pilot.press("enter")
        await until_said(pilot, "pipe.png: not a plain file: not opened")

    drive(shop, steps, seconds=30)


def test_d01_escapes_and_hidden_characters_in_names_are_made_visible(
    shop: Shop, opened: list[Attachment]
) -> None:
    bad = "".join([*ESCAPES, *BIDI]).replace("/", "_").replace("\\", "_")
    picture(shop, "a.png", RED, BLUE)
    (shop.root / "kb/a.png").rename(shop.root / f"kb/x{bad}.png")
    note_of(shop, f"x{bad}.png", f"{bad}\n.jpg")

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_files(app, pilot)
        await until_said(pilot, "2 files of this note")
        await pilot.press("enter")
        await until_said(pilot, "opened with the system's viewer: x\u241b[31m")
        on_screen = text_of(app).replace("\n", "")
        assert not {c for c in on_screen if ord(c) < 32 or 0x7F <= ord(c) < 0xA0 or c in BIDI}
        assert "<U+202E>" in on_screen.replace(" ", "")

    drive(shop, steps, (140, 60))
    assert [each.written for each in opened] == [f"x{bad}.png"]


def test_d02_brackets_in_names_are_shown_literally(shop: Shop, opened: list[Attachment]) -> None:
    names = [f"{each.replace('/', '_')}.png" for each in BRACKETS]
    for name in names:
        picture(shop, "a.png", RED, BLUE)
        (shop.root / "kb/a.png").rename(shop.root / "kb" / name)
    note_of(shop, *names, "[/].jpg")

    async def steps(app: BenchloreApp, pilot: Pilot[int]) -> None:
        await open_files(app, pilot)
        for name in names:
            await until_said(pilot, f"{name} image")
            await pilot.press("enter")
            await until_said(pilot, f"opened with the system's viewer: {name}")
            await pilot.press("down")
        await until_said(pilot, "[/].jpg missing")

    drive(shop, steps, WIDE)
    assert [each.written for each in opened] == names
