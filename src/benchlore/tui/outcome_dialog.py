"""How a case ended, in one line."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input

from benchlore.errors import BenchloreError, UsageError
from benchlore.tui.base import Dialog
from benchlore.tui.display import Shown, line, row
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine
from benchlore.tui.safe_input import SafeInput
from benchlore.writeup.outcome_line import in_words
from benchlore.writeup.recording import OutcomeChange, outcome_change, record

if TYPE_CHECKING:
    from benchlore.shop import Shop


class OutcomeField(SafeInput):
    """The line."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "enter", "submit", "Write it", id="outcome.write", tooltip="Write it into the note"
        ),
    ]


class OutcomeDialog(Dialog[str | None]):
    """Gives back the path of the note that was changed; None when nothing was written."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "How it ended",
        (
            "Write it as you would say it: fixed, 4100 km. Or: came back after 3 weeks. Or: not"
            " fixed, declined, still quiet at 2000 miles. Below stands what would be written; the"
            " date is today's unless the line names another. Nothing else in the note changes.",
        ),
    )

    def __init__(self, shop: Shop, path: str, about: str) -> None:
        """`about` is the case's symptom."""
        super().__init__()
        self._shop = shop
        self._path = path
        self._about = about

    def compose(self) -> ComposeResult:
        """The case, the line, what would be written."""
        with Vertical(classes="window"):
            yield Shown(row("How did it end?", "bold"))
            yield Shown(line(self._about))
            yield OutcomeField(id="outcome", placeholder="fixed, 4100 km")
            yield Shown(id="outcome-read")
            yield KeyLine()

    def on_mount(self) -> None:
        """Ready to type."""
        self.query_one(OutcomeField).focus()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Say what would be written."""
        self._say("")
        if event.value.strip():
            try:
                self._say(f"would say: {in_words(self._change(event.value).outcome)}")
            except UsageError:
                self._say("no outcome read from that yet")
            except BenchloreError as error:
                self._say(f"{error}. {error.todo}")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Write it."""
        try:
            record(self._shop.root, self._change(event.value))
        except BenchloreError as error:
            self._say(f"{error}. {error.todo}")
        else:
            self.dismiss(self._path)

    def _change(self, typed: str) -> OutcomeChange:
        return outcome_change(self._shop.root, self._path, typed, datetime.date.today())

    def _say(self, text: str) -> None:
        self.query_one("#outcome-read", Shown).show(line(text, "bold"))
