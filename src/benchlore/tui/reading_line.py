"""The row under the symptom line: how the symptom was read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from benchlore.tui.display import NOTHING

if TYPE_CHECKING:
    from benchlore.tui.understood import Understood


class ReadingLine(Widget):
    """Takes no place until something was read."""

    understood: reactive[Understood | None] = reactive(None)

    def watch_understood(self, understood: Understood | None) -> None:
        """Come and go with what is read."""
        self.display = understood is not None

    def render(self) -> Content:
        """The conditions, and those dropped, cut to the row."""
        if self.understood is None:
            return NOTHING
        # Imported here: it brings the layers below along; the first paint must not wait.
        from benchlore.tui.understood import understood_row

        return understood_row(self.understood, self.size.width)
