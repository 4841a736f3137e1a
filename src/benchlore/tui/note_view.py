"""A source note on the screen: line numbers, marked passages, links."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.geometry import Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.visual import Visual

from benchlore.tui.display import NOTHING, joined, link, plain, row
from benchlore.tui.help_text import HelpText

if TYPE_CHECKING:  # the Markdown reader comes with the first note, not with the first paint
    from benchlore.notes import Lines
    from benchlore.tui.document import Document, Row

GUTTER = 9
"""Cells before the text: five for the line number, two for the mark, two of space."""

BEST, ALSO, FOUND = ">>", " >", " ="


@dataclass(frozen=True, slots=True)
class Target:
    """A matched passage: its lines, 1-based, both included."""

    first: int
    last: int


class NoteView(ScrollView, can_focus=True):
    """Shows a `Document`. Lines of the passages that matched carry a mark in the gutter."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Source note",
        (
            "The note as it is on disk now, with its line numbers.",
            f"{BEST} before a line: the passage nearest to what you typed. {ALSO.strip()}: other"
            " passages that match. = : a line that holds the words looked for.",
            "Underlined text is a link: click it. Links to other notes open here; a web link first"
            " shows its full address and asks; nothing else is opened.",
        ),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up,k", "scroll_up", "Line up", show=False, id="note.up"),
        Binding("down,j", "scroll_down", "Line down", show=False, id="note.down"),
    ]

    @dataclass
    class LinkClicked(Message):
        """A link was chosen. `target` is as typed in the note at `path`.

        `mention`: it comes from the line `see:`, where case numbers may stand, too.
        """

        target: str
        path: str
        mention: bool = False

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._document: Document | None = None
        self._passages: tuple[Target, ...] = ()
        self._found: frozenset[int] = frozenset()
        self._message = NOTHING
        self._screen_rows: list[tuple[Content, Content]] = []
        self._row_numbers: list[int] = []
        self._wrapped_at = 0

    def show_document(self, document: Document, passages: Sequence[Lines] = ()) -> None:
        """Show `document`; `passages`, best first, are marked and the best is scrolled to."""
        self._document = document
        self._passages = tuple(Target(lines.first, lines.last) for lines in passages)
        self._found = frozenset()
        self._lay_out()
        self.go_to_line(self._passages[0].first if self._passages else 1)

    def show_message(self, text: str) -> None:
        """Show words in place of a note."""
        self._document, self._passages = None, ()
        self._message = plain(text)
        self._lay_out()
        self.scroll_to(y=0, animate=False)

    def mark_found(self, numbers: Collection[int]) -> None:
        """Mark the lines `numbers` as holding the words looked for."""
        self._found = frozenset(numbers)
        self._lay_out()

    def go_to_line(self, number: int) -> None:
        """Scroll so that line `number` is at the top, one line before it in sight."""
        y = next((y for y, n in enumerate(self._row_numbers) if n >= number), 0)
        self.call_after_refresh(self.scroll_to, y=max(y - 1, 0), animate=False)

    @property
    def stops(self) -> list[int]:
        """The first lines of the matched passages, from top to bottom."""
        return sorted({target.first for target in self._passages})

    def on_resize(self) -> None:
        """Wrap anew for the new width."""
        if self.size.width != self._wrapped_at:
            self._lay_out()

    def render_line(self, y: int) -> Strip:
        """One row of the screen."""
        y += self.scroll_offset.y
        width = self.size.width
        if not 0 <= y < len(self._screen_rows):
            return Strip.blank(width, self.rich_style)
        content = joined(self._screen_rows[y])
        strips = Visual.to_strips(
            self, content, max(width, 1), 1, self.visual_style, apply_selection=False, pad=True
        )
        return strips[0].crop_extend(0, width, self.rich_style) if strips else Strip.blank(width)

    def on_click(self, event: events.Click) -> None:
        """Follow the link under the pointer."""
        number = event.style.meta.get("link")
        if number is not None and self._document is not None:
            event.stop()
            target = self._document.links[number]
            self.post_message(self.LinkClicked(target, self._document.note.path))

    def get_selection(self, selection: object) -> None:
        """Text is not selected by mouse here: the terminal's own selection (Shift) does it."""
        return None

    def _lay_out(self) -> None:
        """Wrap every line for the present width."""
        width = self.size.width
        self._wrapped_at = width
        self._screen_rows = []
        self._row_numbers = []
        if self._document is None:
            for part in self._message.wrap(max(width, 1)):
                self._screen_rows.append((NOTHING, part))
                self._row_numbers.append(1)
        else:
            for source in self._document.rows:
                self._add(source, max(width - GUTTER, 1))
        self.virtual_size = Size(width, len(self._screen_rows))
        self.refresh()

    def _add(self, source: Row, width: int) -> None:
        """Append the screen rows of one source line."""
        content = joined(
            link(piece.text, piece.link) if piece.link >= 0 else row(piece.text, piece.style)
            for piece in source.pieces
        )
        fits = content.cell_length <= width
        for part, text in enumerate([content] if fits else content.wrap(width)):
            number = "" if part else str(source.number)
            gutter = f"{number:>5} {self._mark(source.number)} "[:GUTTER]
            self._screen_rows.append((row(gutter), text))
            self._row_numbers.append(source.number)

    def _mark(self, number: int) -> str:
        if self._passages and self._passages[0].first <= number <= self._passages[0].last:
            return BEST
        if number in self._found:
            return FOUND
        if any(target.first <= number <= target.last for target in self._passages[1:]):
            return ALSO
        return "  "
