"""Where the symptom is typed."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType

from benchlore.tui.help_text import HelpText
from benchlore.tui.idle import EXAMPLE
from benchlore.tui.safe_input import SafeInput


class SymptomLine(SafeInput):
    """The field the program starts in. Enter opens the note of the selected case."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Symptom line",
        (
            f"For example: {EXAMPLE}.",
            "Trouble codes, engine codes and part numbers are found letter by letter.",
        ),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "submit", "Note", id="symptom.open", tooltip="Open the source note"),
    ]

    def __init__(self) -> None:
        super().__init__(placeholder=EXAMPLE, id="symptom")
