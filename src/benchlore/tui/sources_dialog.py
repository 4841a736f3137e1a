"""The source notes of one row, to choose one."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from benchlore.tui.base import Dialog
from benchlore.tui.display import Shown, line, row
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine

if TYPE_CHECKING:
    from benchlore.evidence.model import Source


class SourceList(OptionList):
    """The notes with their lines."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "select", "Open", id="sources.open", tooltip="Open the marked note"),
    ]


class SourcesDialog(Dialog["Source | None"]):
    """Gives back the chosen source; None when it was left by Escape."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Source notes",
        ("What the row says stands in these notes. Enter opens the marked one at that line.",),
    )

    def __init__(self, sources: tuple[Source, ...]) -> None:
        super().__init__()
        self._sources = sources

    def compose(self) -> ComposeResult:
        """The list."""
        with Vertical(classes="window"):
            yield Shown(row(f"{len(self._sources)} places say so", "bold"))
            yield SourceList(*(Option(line(_place(source))) for source in self._sources))
            yield KeyLine()

    def on_mount(self) -> None:
        """Choose by keys at once."""
        self.query_one(SourceList).focus()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Give it back."""
        self.dismiss(self._sources[event.option_index])


def _place(source: Source) -> str:
    lines = f"line {source.first_line}"
    if source.last_line != source.first_line:
        lines = f"lines {source.first_line} to {source.last_line}"
    return f"{source.file}, {lines}"
