"""Help on what is on the screen, made from what its widgets say about themselves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content

from benchlore.tui.base import Page
from benchlore.tui.display import Shown, joined, plain, row, rows
from benchlore.tui.help_text import HelpPart, HelpText
from benchlore.tui.key_line import KeyLine


class HelpScreen(Page):
    """Shows help parts, one below the other."""

    ABOUT: ClassVar[HelpText] = HelpText("Help", ("Up and Down scroll, Esc goes back.",))

    def __init__(self, parts: Sequence[HelpPart]) -> None:
        super().__init__()
        self._parts = parts

    def compose(self) -> ComposeResult:
        """The text."""
        with VerticalScroll():
            yield Shown(rows(_help_rows(self._parts)), id="help-text")
        yield KeyLine()

    def on_mount(self) -> None:
        """Scroll by keys at once."""
        self.query_one(VerticalScroll).focus()


def _help_rows(parts: Sequence[HelpPart]) -> Iterator[Content]:
    for part in parts:
        yield row(part.text.title, "bold underline")
        for paragraph in part.text.paragraphs:
            yield plain(paragraph)
        for keys, says in part.keys:
            yield joined((row(f"  {keys:<16} ", "bold"), row(says)))
        yield row("")
