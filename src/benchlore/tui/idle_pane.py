"""What stands in place of results when there are none."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll

from benchlore.tui.display import Shown, plain, rows
from benchlore.tui.idle import Situation, idle_lines


class IdlePane(VerticalScroll):
    """Shows a `Situation` in words, its heading standing out."""

    def compose(self) -> ComposeResult:
        """The text."""
        yield Shown(id="idle-text")

    def show(self, situation: Situation) -> None:
        """Say how it stands now."""
        heading, *rest = idle_lines(situation)
        texts = (plain(heading, "bold"), *(plain(each) for each in rest if each))
        self.query_one("#idle-text", Shown).show(rows(texts))
