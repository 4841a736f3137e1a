"""A note that changed on disk while it was open: what to keep of each side."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList

from benchlore.tui.base import Dialog
from benchlore.tui.choice_list import ChoiceList, enter
from benchlore.tui.display import Shown, joined, line, row, rows
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine
from benchlore.writeup.form import BODY, value_words

if TYPE_CHECKING:
    from benchlore.writeup.merging import Difference, Take

LONGEST = 200
"""Characters of a value that are shown."""


class DifferenceList(ChoiceList):
    """Fields that differ."""

    BINDINGS: ClassVar[list[BindingType]] = [
        enter("Other side", "Take the other side of the marked field")
    ]


class MergeDialog(Dialog["dict[str, Take] | None"]):
    """Gives back the side to take by the field's key; None when it was left by Escape."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Changed by two",
        (
            "Somebody else saved this note while you had it open. Nothing was overwritten. Each row"
            " is a field in which the two differ: Enter changes the side that is taken. Where only"
            " one side changed a field, that side is taken already; what both added to a list is"
            " put together.",
            "Ctrl+S puts both together in the form, where you can look it over before it is saved."
            " Esc leaves everything as it is; your text stays a draft.",
        ),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+s", "put_in", "Put together", id="merge.put_in"),
    ]

    def __init__(self, path: str, found: tuple[Difference, ...]) -> None:
        super().__init__()
        self._path = path
        self._found = found
        self._takes: dict[str, Take] = {each.key: each.take for each in found}

    def compose(self) -> ComposeResult:
        """The fields that differ."""
        with Vertical(classes="window"):
            yield Shown(line(f"Not saved: {self._path} changed since you opened it.", "bold"))
            yield Shown(row("Enter changes the side that is taken, Ctrl+S puts both together."))
            yield DifferenceList(id="differences")
            yield KeyLine()

    def on_mount(self) -> None:
        """List them."""
        self._list()
        self.query_one(DifferenceList).focus()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Take the other side."""
        found = self._found[event.option_index]
        choices = found.choices
        place = choices.index(self._takes[found.key]) + 1
        self._takes[found.key] = choices[place % len(choices)]
        self._list()

    def action_put_in(self) -> None:
        """Give back the choice."""
        self.dismiss(self._takes)

    def _list(self) -> None:
        self.query_one(DifferenceList).show([self._row(each) for each in self._found])

    def _row(self, found: Difference) -> Content:
        name = "free text" if found.key == BODY else found.key
        both = "  (both changed it)" if found.both else ""
        sides = [("mine", "yours ", found.mine), ("theirs", "theirs", found.theirs)]
        if found.together is not None:
            sides.insert(0, ("both", "both  ", found.together))
        return rows((
            joined((line(name, "bold"), row(both))),
            *(joined((row(f"  {'taken' if self._takes[found.key] == side else '     '} {says} "),
                      line(value_words(value)[:LONGEST] or "(nothing)")))
              for side, says, value in sides),
        ))  # fmt: skip
