"""Two notes have one case number: both are kept, and both are shown."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.widgets import OptionList

from benchlore.tui.base import Dialog
from benchlore.tui.choice_list import ChoiceList, enter
from benchlore.tui.display import Shown, line, row
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine


class NoteList(ChoiceList):
    """Notes with one number."""

    BINDINGS: ClassVar[list[BindingType]] = [enter("Open it", "Open the marked note")]


class SameNumberDialog(Dialog[str | None]):
    """Gives back the path of a note to open, or None."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "One number, several notes",
        (
            "Somebody else may have saved a case under this number at the same time. Nothing was"
            " overwritten: each note has its own file. Look at both, and give one of them another"
            " number.",
        ),
    )

    def __init__(self, paths: tuple[str, ...]) -> None:
        super().__init__()
        self._paths = paths

    def compose(self) -> ComposeResult:
        """The notes."""
        with Vertical(classes="window"):
            yield Shown(row("Saved. Another note begins with the same case number:", "bold"))
            yield NoteList()
            yield Shown(row("Enter opens the marked one."))
            yield KeyLine()

    def on_mount(self) -> None:
        """List them."""
        choices = self.query_one(NoteList)
        choices.show([line(path) for path in self._paths])
        choices.focus()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Open it."""
        self.dismiss(self._paths[event.option_index])
