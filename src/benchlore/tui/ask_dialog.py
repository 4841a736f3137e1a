"""Asks before a web link is opened, with its full address in sight."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll

from benchlore.tui.base import Dialog
from benchlore.tui.display import Shown, plain, row
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine


class AskDialog(Dialog[bool | None]):
    """Gives back True for a yes and nothing else for a yes."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Open a web link?",
        (
            "A note can hold any link. Look at the whole address: is it the site you expect? y"
            " opens it in the web browser; everything else leaves it alone.",
        ),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("y", "yes", "Open it", id="ask.yes"),
        Binding("n", "back", "Leave it", id="ask.no"),
    ]

    def __init__(self, url: str) -> None:
        super().__init__()
        self._url = url

    def compose(self) -> ComposeResult:
        """The address and the question."""
        with Vertical(classes="window"):
            yield Shown(row("Open this web link in the browser?", "bold"))
            with VerticalScroll():
                yield Shown(plain(self._url), id="address")
            yield Shown(row("y opens it, n or Esc leaves it alone."))
            yield KeyLine()

    def action_yes(self) -> None:
        """The user has seen the address and wants it opened."""
        self.dismiss(True)
