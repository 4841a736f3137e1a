"""Write-ups that were not saved: go on with one, or start anew."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList

from benchlore.keeping.drafts import Draft, DraftKeeper
from benchlore.tui.base import Dialog
from benchlore.tui.choice_list import ChoiceList, enter
from benchlore.tui.display import Shown, line, row
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine
from benchlore.writeup.form import value_words
from benchlore.writeup.sitting import fields_of_draft


class DraftList(ChoiceList):
    """Drafts."""

    BINDINGS: ClassVar[list[BindingType]] = [enter("Go on", "Go on with the marked draft")]


class DraftsDialog(Dialog["Draft | str | None"]):
    """Gives back the draft to go on with, `NEW`, or None."""

    NEW = "new"
    ABOUT: ClassVar[HelpText] = HelpText(
        "Drafts",
        (
            "What was typed and not saved is kept outside the notes, on this computer only. Enter"
            " goes on with the marked draft, n starts a new case and leaves the drafts alone. d"
            " throws the marked one away; it asks once more.",
        ),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("n", "new", "New case", id="drafts.new"),
        Binding("d", "drop", "Throw away", id="drafts.drop", tooltip="Throw the marked one away"),
    ]

    def __init__(self, drafts: tuple[Draft, ...]) -> None:
        super().__init__()
        self._drafts = list(drafts)
        self._asked: Draft | None = None

    def compose(self) -> ComposeResult:
        """The drafts."""
        with Vertical(classes="window"):
            yield Shown(row("Not saved last time:", "bold"))
            yield DraftList(id="drafts")
            yield Shown(row("Enter goes on with it, n starts a new case."), id="drafts-say")
            yield KeyLine()

    def on_mount(self) -> None:
        """List them."""
        self._list()
        self.query_one(DraftList).focus()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Go on with it."""
        self.dismiss(self._drafts[event.option_index])

    def action_new(self) -> None:
        """Start a new case."""
        self.dismiss(self.NEW)

    def action_drop(self) -> None:
        """Throw the marked draft away, at the second time of asking."""
        place = self.query_one(DraftList).highlighted
        if place is None:
            return
        draft = self._drafts[place]
        if self._asked is not draft:
            self._asked = draft
            said = row("d again throws this draft away for good.", "bold")
            self.query_one("#drafts-say", Shown).show(said)
            return
        DraftKeeper.going_on(draft).drop()
        del self._drafts[place]
        if self._drafts:
            self._list()
        else:
            self.dismiss(self.NEW)

    def _list(self) -> None:
        self.query_one(DraftList).show([draft_row(draft) for draft in self._drafts])


def draft_row(draft: Draft) -> Content:
    """When, what."""
    symptom = value_words(fields_of_draft(draft).get("symptom", ""))
    what = symptom or draft.body.strip().partition("\n")[0] or "no symptom"
    about = f"draft of {draft.path}" if draft.path else "draft of a new case"
    return line(f"{draft.saved_at:%Y-%m-%d %H:%M}  {about}: {what}")
