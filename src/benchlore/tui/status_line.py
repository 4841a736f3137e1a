"""The row under the symptom line."""

from __future__ import annotations

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from benchlore.tui.display import line
from benchlore.tui.words import Status, status_words


class StatusLine(Widget):
    """Shows a `Status` in words."""

    status: reactive[Status] = reactive(Status(), layout=True)

    def render(self) -> Content:
        """The words."""
        return line(status_words(self.status))
