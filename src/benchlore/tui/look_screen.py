"""Notes that need a look: where, what, what to do."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from benchlore.errors import BenchloreError
from benchlore.tui.base import Page
from benchlore.tui.display import Shown, joined, line, row, rows
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine
from benchlore.tui.note_pane import Wanted
from benchlore.tui.note_screen import NoteScreen
from benchlore.tui.session import Session

if TYPE_CHECKING:
    from benchlore.notes.problems import NoteProblem


class LookScreen(Page):
    """Lists what could not be read as it was meant; Enter opens the note at that line."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Notes that need a look",
        (
            "Something in these files could not be read as it was probably meant. They are found"
            " all the same, by what could be read.",
            "Each entry says file:line:column, what is wrong, and what to do. Enter opens the note"
            " at that line. Mend it in your editor; F5 on the main screen reads it again.",
        ),
    )

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._entries: list[NoteProblem] = []

    def compose(self) -> ComposeResult:
        """Heading and list."""
        yield Shown(row("Notes that need a look: reading the list ...", "bold"), id="look-heading")
        yield OptionList(id="look-list")
        yield KeyLine()

    def on_mount(self) -> None:
        """Fetch the list."""
        self.query_one(OptionList).focus()
        self._fetch()

    @work(thread=True)
    def _fetch(self) -> None:
        try:
            # Imported here: it brings the store along; the first paint must not wait.
            from benchlore.index.problems import all_problems

            entries = all_problems(self._session.store)
        except BenchloreError as error:
            self.call_later(self._fail, error)
        else:
            self.call_later(self._show, entries)

    def _show(self, entries: list[NoteProblem]) -> None:
        self._entries = entries
        heading = f"{len(entries)} places need a look" if entries else "No note needs a look."
        self.query_one("#look-heading", Shown).show(line(heading, "bold"))
        choices = self.query_one(OptionList)
        choices.display = bool(entries)
        choices.add_options(Option(_entry_text(entry)) for entry in entries)

    def _fail(self, error: BenchloreError) -> None:
        self.query_one("#look-heading", Shown).show(line(f"{error}. {error.todo}", "bold"))

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Open the note at the line."""
        entry = self._entries[event.option_index]
        self.app.push_screen(NoteScreen(self._session, Wanted(entry.path, line=entry.line)))


def _entry_text(entry: NoteProblem) -> Content:
    return rows(
        (
            line(entry.place, "bold"),
            joined((row("  "), line(entry.what))),
            *((joined((row("  "), line(f"to do: {entry.todo}"))),) if entry.todo else ()),
        )
    )
