"""The free text of a case: a field of several lines that holds nothing a terminal would act on."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.widgets import TextArea

from benchlore.text import shown

MOST = 200_000
"""Characters that it takes."""


class FreeText(TextArea):
    """Complaint, what was done, or a job card pasted in.

    A text that holds what must not reach a terminal is shown with visible marks in its place and
    cannot be changed here: the marks would take the place of what stands in the file.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("pageup", "leave(-1)", "Fields above", show=False, id="free.before"),
    ]

    def __init__(self, text: str) -> None:
        """`text` is the note's own."""
        super().__init__(compact=True, soft_wrap=True, id="free-text")
        self._text_of_note = text
        tabs_apart = text.replace("\t", " ")
        self.read_only = shown(tabs_apart) != tabs_apart
        self.load_text(shown(text) if self.read_only else text)

    @property
    def typed(self) -> str:
        """What stands in it, the note's own text where it cannot be changed."""
        return self._text_of_note if self.read_only else self.text

    async def _on_paste(self, event: events.Paste) -> None:
        """Take a pasted text with visible marks for what a terminal would act on."""
        event.prevent_default()
        event.stop()
        if not self.read_only:
            room = max(MOST - len(self.text), 0)
            self.insert(shown(event.text)[:room])

    def action_leave(self, by: int) -> None:
        """Back to the fields."""
        self.screen.focus_previous()
