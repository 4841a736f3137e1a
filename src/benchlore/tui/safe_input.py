"""A text field that holds nothing a terminal would act on, whatever is typed or pasted."""

from __future__ import annotations

from textual import events
from textual.widgets import Input

from benchlore.tui.display import field_text

MAX_TYPED = 2000
"""Characters a field takes: more than anybody types, less than a page pasted in by mistake."""


class SafeInput(Input):
    """An `Input` whose value is made harmless before it is shown."""

    def __init__(self, *, placeholder: str = "", id: str | None = None) -> None:
        super().__init__(
            placeholder=placeholder,
            id=id,
            max_length=MAX_TYPED,
            select_on_focus=False,
            compact=True,
        )

    def validate_value(self, value: str) -> str:
        """Called by Textual with every new value."""
        return field_text(value)[:MAX_TYPED]

    def _on_paste(self, event: events.Paste) -> None:
        """Take a pasted text as one line: what a customer wrote may have several."""
        event.prevent_default()
        event.stop()
        text = " ".join(field_text(event.text[: 4 * MAX_TYPED]).split())
        room = MAX_TYPED - len(self.value) + len(self.selected_text)
        self.replace(text[: max(room, 0)], *self.selection)
