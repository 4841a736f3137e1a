"""Shown instead of everything else while the window is too small to read anything."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.screen import Screen

from benchlore.tui.display import Shown, row
from benchlore.tui.help_text import HelpText

MIN_WIDTH, MIN_HEIGHT = 40, 10


class SmallScreen(Screen[None]):
    """Goes by itself when the window grows."""

    ABOUT: ClassVar[HelpText] = HelpText("Window too small", ("Make the window larger.",))

    def compose(self) -> ComposeResult:
        """The words."""
        yield Shown(row("window too small"))
        yield Shown(row(f"needs {MIN_WIDTH} x {MIN_HEIGHT}"))


def too_small(width: int, height: int) -> bool:
    """Whether nothing useful can be shown."""
    return width < MIN_WIDTH or height < MIN_HEIGHT
