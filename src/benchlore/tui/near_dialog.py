"""Cases that are nearly the one being written."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import OptionList

from benchlore.tui.base import Dialog
from benchlore.tui.choice_list import ChoiceList, enter
from benchlore.tui.display import Shown, joined, line, row, rows
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine

if TYPE_CHECKING:
    from benchlore.writeup.near import Near


class NearList(ChoiceList):
    """Cases that are nearly the same."""

    BINDINGS: ClassVar[list[BindingType]] = [enter("Open it", "Open the marked case")]


class NearDialog(Dialog[str | None]):
    """Gives back the path of a note to open, `SAVE`, or None."""

    SAVE = ""
    ABOUT: ClassVar[HelpText] = HelpText(
        "Nearly the same cases",
        (
            "The same job may have been written up already, or the machine may be back with the"
            " same fault. Enter opens the marked case; what you have typed stays.",
        ),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("s", "save", "Save as a case of its own", id="near.save"),
    ]

    def __init__(self, near: tuple[Near, ...], saving: bool) -> None:
        """`saving`: the case is to be saved now."""
        super().__init__()
        self._near = near
        self._saving = saving

    def compose(self) -> ComposeResult:
        """The cases."""
        with Vertical(classes="window"):
            yield Shown(row("Nearly the same case is there already:", "bold"))
            yield NearList(id="near-list")
            if self._saving:
                yield Shown(row("Not saved yet: s saves it as a case of its own.", "bold"))
            yield KeyLine()

    def on_mount(self) -> None:
        """List them."""
        choices = self.query_one(NearList)
        choices.show([
            rows((joined((line(each.note.case, "bold"), row("  "), line(each.words))),
                  line(f"  {each.note.path}")))
            for each in self._near
        ])  # fmt: skip
        choices.focus()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Saving is offered only where that was asked for."""
        return self._saving if action == "save" else True

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Open it."""
        self.dismiss(self._near[event.option_index].note.path)

    def action_save(self) -> None:
        """It is another case."""
        self.dismiss(self.SAVE)
