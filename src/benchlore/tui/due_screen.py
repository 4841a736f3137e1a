"""Cases that somebody should ring up about."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList

from benchlore.errors import BenchloreError
from benchlore.tui.base import Page
from benchlore.tui.choice_list import ChoiceList, enter
from benchlore.tui.display import Shown, joined, line, row
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine

if TYPE_CHECKING:
    from benchlore.tui.session import Session
    from benchlore.writeup.due import Due


LONGEST_CASE = 16
"""Characters of a case number; a note without one has its file's name for it."""


class DueList(ChoiceList):
    """Cases that are due."""

    BINDINGS: ClassVar[list[BindingType]] = [enter("Note", "Open the source note")]


class DueScreen(Page):
    """Outcome open, none written, or a repair of which nobody has heard since."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Due for another look",
        (
            "Cases whose outcome is open, the longest waiting first, and repairs of which nobody"
            " has said whether they held once they are older than follow_up_days in shop.toml"
            " (30). o writes how one ended, in one line; Enter opens the note.",
        ),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("o", "outcome", "Outcome", id="due.outcome", tooltip="Write how it ended"),
        Binding("e", "edit", "Change", id="due.edit", tooltip="Open it in the form"),
    ]

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._due: tuple[Due, ...] = ()

    def compose(self) -> ComposeResult:
        """Heading, cases, keys."""
        yield Shown(row("Looking ...", "bold"), id="due-heading", classes="heading")
        yield DueList(id="due-list")
        yield KeyLine()

    def on_mount(self) -> None:
        """Look for them."""
        self.query_one(DueList).focus()
        self.look()

    @work(thread=True, exclusive=True, group="due")
    def look(self) -> None:
        """List the cases that are due now."""
        try:
            due = self._session.due()
        except BenchloreError as error:
            self.call_later(self._say, f"{error}. {error.todo}")
        else:
            self.call_later(self._show, due)

    def _show(self, due: tuple[Due, ...]) -> None:
        self._due = due
        count = len(due)
        self._say(f"{count} case{' is' if count == 1 else 's are'} due for another look")
        self.query_one(DueList).show([due_row(each) for each in due])

    def _say(self, text: str) -> None:
        self.query_one("#due-heading", Shown).show(line(text, "bold"))

    @property
    def _marked(self) -> Due | None:
        place = self.query_one(DueList).highlighted
        return self._due[place] if place is not None and place < len(self._due) else None

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Open the note."""
        if self._marked is not None:
            self.app.open_if_chosen(self._marked.note.path)  # type: ignore[attr-defined]

    def action_outcome(self) -> None:
        """Write how the marked case ended."""
        if self._marked is not None:
            note = self._marked.note
            about = note.symptom.text if note.symptom else note.title
            self.app.ask_outcome(note.path, about)  # type: ignore[attr-defined]  # BenchloreApp

    def action_edit(self) -> None:
        """Change the marked case in the form."""
        if self._marked is not None:
            self.app.change_note(self._marked.note.path)  # type: ignore[attr-defined]


def due_row(due: Due) -> Content:
    """Case, how long, symptom, on one row."""
    note = due.note
    symptom = note.symptom.text if note.symptom else note.title
    case = note.case if len(note.case) <= LONGEST_CASE else f"{note.case[: LONGEST_CASE - 1]}\u2026"
    return joined((line(case, "bold"), row("  "), line(due.words), row(": "), line(symptom)))
