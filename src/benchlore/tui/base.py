"""What all screens and dialogs have in common: a help text, help on F1, a way back."""

from __future__ import annotations

from typing import ClassVar, TypeVar

from textual.binding import Binding, BindingType
from textual.screen import ModalScreen, Screen

from benchlore.tui.help_text import HelpText

Result = TypeVar("Result")

BACK = Binding("escape", "back", "Back", id="page.close", tooltip="Back to where you came from")


class Page(Screen[None]):
    """A full screen above the main one."""

    ABOUT: ClassVar[HelpText]
    BINDINGS: ClassVar[list[BindingType]] = [BACK]

    def action_back(self) -> None:
        """Leave this screen."""
        self.dismiss()


class Dialog(ModalScreen[Result]):
    """A window in front of a screen. It is left by Escape without any effect."""

    ABOUT: ClassVar[HelpText]
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f1", "app.help", "Help", id="dialog.help", tooltip="What this window is for"),
        Binding("escape", "back", "Cancel", id="dialog.close", tooltip="Close without any effect"),
    ]

    def action_back(self) -> None:
        """Close without any effect."""
        self.dismiss(None)
