"""The list of what was found: cases, best first, then articles."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.message import Message

from benchlore.tui.display import Shown, row
from benchlore.tui.help_text import HelpText

if TYPE_CHECKING:
    from benchlore.search.results import Answer, Hit

MOST = 13
"""Rows kept ready: ten cases and three articles. They are filled anew with every answer, which is
several times faster than making them anew."""


class CaseRow(Shown):
    """One result on three lines."""

    @dataclass
    class Clicked(Message):
        """The row was clicked, twice in a row to open it."""

        number: int
        twice: bool

    def __init__(self, number: int) -> None:
        super().__init__(classes="case")
        self._number = number

    def on_click(self, event: events.Click) -> None:
        """Tell the list."""
        event.stop()
        self.post_message(self.Clicked(self._number, event.chain > 1))


class CaseList(VerticalScroll):
    """Shows the hits of one answer and which of them is selected."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Cases found",
        (
            "The nearest case notes, best first: the symptom; how close, date and machine; how it"
            " ended and what it was. Symptom articles that fit stand below them.",
            "close: more likely than not of use for this symptom. related: perhaps. far: hardly;"
            " it is only the nearest there is, and shown faint.",
            "> marks the selected one. Its cautions and findings stand beside or below the list.",
        ),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "screen.step(-1)", "Previous", show=False, id="cases.previous"),
        Binding("down", "screen.step(1)", "Next", show=False, id="cases.next"),
        Binding("enter", "screen.open_note", "Open", show=False, id="cases.open"),
    ]

    @dataclass
    class Selected(Message):
        """Another result is selected; `open` when it was clicked twice."""

        hit: Hit
        open: bool = False

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._hits: tuple[Hit, ...] = ()
        self._selected = 0

    def compose(self) -> ComposeResult:
        """The rows, and the line between cases and articles."""
        for number in range(MOST):
            yield CaseRow(number)
        yield Shown(row("articles"), id="divider")

    @property
    def hit(self) -> Hit | None:
        """The selected result."""
        return self._hits[self._selected] if self._hits else None

    def show_answer(self, answer: Answer, again: bool = False) -> None:
        """Show what was found; the selection stays on its note where that is still there.

        `again`: the question is the one before, the notes have changed.
        """
        before = self.hit.note.path if self.hit else ""
        first = not self._hits or (self._selected == 0 and not again)
        self._hits = (*answer.cases, *answer.articles)[:MOST]
        paths = [hit.note.path for hit in self._hits]
        # Who has not moved down wants the best; who has moved reads that note and keeps it.
        self._selected = 0 if first or before not in paths else paths.index(before)
        self._fill(len(answer.cases))
        if self.hit:
            self.post_message(self.Selected(self.hit))

    def clear(self) -> None:
        """Show nothing."""
        self._hits, self._selected = (), 0

    def step(self, by: int) -> None:
        """Select the next or previous result, or none further than the ends."""
        self.select(min(max(self._selected + by, 0), len(self._hits) - 1))

    def select(self, number: int, open_it: bool = False) -> None:
        """Select the result `number`, counted from 0."""
        if not 0 <= number < len(self._hits):
            return
        before, self._selected = self._selected, number
        for changed in {before, number}:
            self._draw(changed)
        self._rows()[number].scroll_visible(animate=False)
        if before != number or open_it:
            self.post_message(self.Selected(self._hits[number], open_it))

    def on_case_row_clicked(self, event: CaseRow.Clicked) -> None:
        """Select, or open, what was clicked."""
        event.stop()
        self.select(event.number, event.twice)

    def _rows(self) -> Sequence[CaseRow]:
        return list(self.query(CaseRow))

    def _fill(self, cases: int) -> None:
        rows = self._rows()
        for number, widget in enumerate(rows):
            widget.display = number < len(self._hits)
            if widget.display:
                self._draw(number)
        divider = self.query_one("#divider", Shown)
        divider.display = cases < len(self._hits)
        if divider.display:
            self.move_child(divider, before=rows[cases])
        rows[self._selected].scroll_visible(animate=False)

    def _draw(self, number: int) -> None:
        # Imported here: it brings the Markdown reader along; the first paint must not wait.
        from benchlore.tui.case_text import list_text

        chosen = number == self._selected
        widget = self._rows()[number]
        widget.set_class(chosen, "-selected")
        widget.show(list_text(self._hits[number], chosen))
