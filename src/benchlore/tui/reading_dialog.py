"""The conditions read from the symptom, to drop those that were misread."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from benchlore.tui.base import Dialog
from benchlore.tui.display import Shown, row
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine
from benchlore.tui.understood import Keys, Understood, reading_rows


class ReadingList(OptionList):
    """The conditions, one a row."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Conditions",
        ("counts or dropped stands before each. Up and Down mark one.",),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter,space",
            "select",
            "Drop or take back",
            id="reading.turn",
            tooltip="Drop the marked condition, or take it back",
        ),
    ]


class ReadingDialog(Dialog[Keys | None]):
    """Gives back the conditions that are not to count, whatever key it is left by."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Read as",
        (
            "What was understood of when and where the symptom shows, each with the words it was"
            " read from. not stands before a condition under which it does not show.",
            "Misread? Enter or Space drops the marked condition: it counts neither for nor against"
            " a case then. The same key takes it back. The words themselves still count.",
            "Closing searches again. A dropped condition stays dropped until its words are gone"
            " from the symptom line.",
        ),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "escape,ctrl+r", "back", "Close", id="reading.close", tooltip="Close and search again"
        ),
    ]

    def __init__(self, understood: Understood | None) -> None:
        """`understood` is None while nothing has been read."""
        super().__init__()
        self._understood = understood or Understood()

    def compose(self) -> ComposeResult:
        """The list, or why there is none."""
        with Vertical(classes="window", id="reading-window"):
            if self._understood.readings:
                yield Shown(row("When and where it shows, as read from the symptom", "bold"))
                yield ReadingList(*map(Option, reading_rows(self._understood)), id="readings")
                yield Shown(row("Misread? Enter or Space drops a condition or takes it back."))
            else:
                yield Shown(row("No condition was read from the symptom.", "bold"))
                yield Shown(row("Say when it shows and when not: cold, above 50, turning left."))
            yield KeyLine()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Drop a condition, or take it back."""
        self._understood = self._understood.turned(event.option_index)
        self._draw(event.option_list, event.option_index)

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Move the mark: how a list shows it by itself is lost on a plain terminal."""
        self._draw(event.option_list, event.option_index)

    def _draw(self, readings: OptionList, marked: int) -> None:
        for number, content in enumerate(reading_rows(self._understood, marked)):
            readings.replace_option_prompt_at_index(number, content)

    def action_back(self) -> None:
        """Close; what is dropped now is given back."""
        self.dismiss(self._understood.dropped)
