"""A list of rows to choose from; the marked one has `>` before it, as colour alone says nothing."""

from __future__ import annotations

from collections.abc import Sequence

from textual.binding import Binding
from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from benchlore.tui.display import joined, row


class ChoiceList(OptionList):
    """Rows of `Content`. What Enter does with one is for the list's own kind to say."""

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self._rows: list[Content] = []
        self._drawn: int | None = None

    def show(self, rows: Sequence[Content]) -> None:
        """List `rows`; the mark stays where it was."""
        before = self.highlighted or 0
        self.clear_options()
        self._rows = list(rows)
        self._drawn = None
        self.add_options(Option(self._text(each, False)) for each in rows)
        if rows:
            self.highlighted = min(before, len(rows) - 1)

    def watch_highlighted(self, highlighted: int | None) -> None:
        """Move the mark."""
        super().watch_highlighted(highlighted)
        for place in {self._drawn, highlighted} - {None}:
            if place is not None and place < min(len(self._rows), self.option_count):
                text = self._text(self._rows[place], place == highlighted)
                self.replace_option_prompt_at_index(place, text)
        self._drawn = highlighted

    @staticmethod
    def _text(content: Content, marked: bool) -> Content:
        return joined((row("> " if marked else "  ", "bold"), content))


def enter(says: str, tooltip: str = "") -> Binding:
    """The binding of Enter, which takes the marked row."""
    return Binding("enter", "select", says, id=f"choice.{says.split()[0].lower()}", tooltip=tooltip)
