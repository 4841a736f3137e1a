"""The links of a note, to be opened by keys alone."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from benchlore.tui.base import Dialog
from benchlore.tui.display import Shown, line, row
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine


class LinksDialog(Dialog[str | None]):
    """Gives back the target that was chosen."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Links of this note",
        ("What the note links to or mentions under `see`. Enter opens the one that is marked.",),
    )

    def __init__(self, targets: tuple[str, ...]) -> None:
        super().__init__()
        self._targets = tuple(dict.fromkeys(targets))

    def compose(self) -> ComposeResult:
        """The list."""
        with Vertical(classes="window"):
            yield Shown(row("Links of this note", "bold"))
            if self._targets:
                yield OptionList(*(Option(line(target)) for target in self._targets))
            else:
                yield Shown(row("It has none. Esc goes back."))
            yield KeyLine()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Enter, or a click."""
        self.dismiss(self._targets[event.option_index])
