"""Asks for what was found."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input

from benchlore.tui.base import Dialog
from benchlore.tui.display import Shown, line, row
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine
from benchlore.tui.safe_input import SafeInput


class ResultField(SafeInput):
    """The result."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter", "submit", "Take it", id="result.take", tooltip="Work it out again with it"
        ),
    ]


class ResultDialog(Dialog[str | None]):
    """Gives back `check: result`; None when it was left by Escape."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "A result",
        (
            "Write the check, a colon, and what you found: ok, not ok, or a value with its unit,"
            " which is judged by the limits in the notes.",
            "A value alone (0.09 mm) is set beside the values of its kind and changes no more.",
        ),
    )

    def __init__(self, check: str) -> None:
        """`check` is the one marked, "" for none."""
        super().__init__()
        self._check = check

    def compose(self) -> ComposeResult:
        """The field, and how it is written."""
        with Vertical(classes="window"):
            yield Shown(row("What did you find?", "bold"))
            yield ResultField(id="result", placeholder="check: ok, not ok or 0.09 mm")
            yield Shown(line("For example  hub spun by hand: rough  or  play at the hub: 0.09 mm"))
            yield KeyLine()

    def on_mount(self) -> None:
        """The check that was marked stands there already."""
        field = self.query_one(ResultField)
        if self._check:
            field.value = f"{self._check.replace(':', ',')}: "
        field.focus()
        field.action_end()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Give back what is typed."""
        self.dismiss(event.value.strip() or None)
