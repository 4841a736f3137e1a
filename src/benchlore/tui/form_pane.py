"""All fields of a case below each other: filled in, gone through, and read out again."""

from __future__ import annotations

from dataclasses import dataclass

from textual import events
from textual.containers import VerticalScroll
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input, TextArea

from benchlore.notes.parts import Parts
from benchlore.tui.display import Shown, row
from benchlore.tui.form_fields import (
    LAST_LINES,
    LINES,
    FormField,
    FormLine,
    RowBlock,
    TableBlock,
    block_start,
    lines_of,
    texts_of,
)
from benchlore.tui.free_text import FreeText
from benchlore.writeup.form import (
    SINGLE,
    TABLES,
    Fields,
    rows_of,
    shown_value,
    typed_into,
    value_at,
)


class FormPane(VerticalScroll):
    """Scrolls to the field that has the focus."""

    can_focus = False

    @dataclass
    class Edited(Message):
        """Something else is typed; `field` is None for the free text."""

        field: FormField | None

    def __init__(self) -> None:
        super().__init__(id="form")
        self._start = Parts({}, "")
        self._left: Widget | None = None

    async def fill(self, start: Parts, hint: bool) -> None:
        """Put a case into the fields; `hint` shows examples in empty ones."""
        self._start = start
        await self.remove_children()
        texts = {each.key: shown_value(each, value_at(start.fields, each.key)) for each in SINGLE}
        await self.mount(
            *(FormLine(each, texts, hint) for each in LINES),
            *(TableBlock(table, rows_of(start.fields, table), hint) for table in TABLES),
            *(FormLine(each, texts, hint) for each in LAST_LINES),
            Shown(row("free text: complaint, what was done, or a job card pasted in", "bold")),
            FreeText(start.body),
        )
        self.query(FormField).first().focus()

    def focus_again(self) -> None:
        """Back to the field that had the focus before the form was disabled."""
        left = self._left
        target = left if left is not None and left.is_attached else self.query(FormField).first()
        self.screen.set_focus(target)

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """Remember it."""
        self._left = event.widget

    @property
    def is_filled(self) -> bool:
        """Whether there are fields: not while they are being replaced."""
        return bool(self.query(FreeText))

    def typed(self) -> tuple[Fields, str]:
        """What the fields and the free text say now."""
        touched = (each for each in self.query(FormField) if not each.table and each.is_touched)
        single = texts_of(touched)
        tables = {block.table: block.typed() for block in self.query(TableBlock)}
        body = self.query_one(FreeText).typed
        return typed_into(self._start.fields, single, tables), body

    def beside(self, field: FormField) -> dict[str, str]:
        """What stands in the fields of the same row, or in all for one that stands once."""
        block = self._block_of(field)
        return texts_of((block or self).query(FormField))

    def row_number(self, field: FormField) -> int:
        """The how manieth row of its table `field` is in, empty ones left out, from 0."""
        block = self._block_of(field)
        return self._table(field.table).place_of(block) if block else 0

    def field_at(self, key: str, number: int) -> FormField | None:
        """The field at a dotted key of the format, in the row `number` of a table."""
        table, _, inner = key.partition(".")
        if table in TABLES:
            blocks = list(self._table(table).query(RowBlock))
            among = list(blocks[min(number, len(blocks) - 1)].query(FormField))
            return next((each for each in among if each.field.key == inner), among[0])
        single = [each for each in self.query(FormField) if not each.table]
        exact = next((each for each in single if each.field.key == key), None)
        return exact or next((e for e in single if e.field.key.startswith(f"{key}.")), None)

    def on_input_changed(self, event: Input.Changed) -> None:
        """A table whose last row is begun gets another."""
        field = event.input
        if isinstance(field, FormField):
            if field.table:
                self._table(field.table).grow()
            self.post_message(self.Edited(field))

    def on_text_area_changed(self, event: TextArea.Changed) -> None:
        """The free text says something else."""
        self.post_message(self.Edited(None))

    def next_to(self, field: FormField, key: str) -> Widget | None:
        """Where `key` leads from `field`; None where it leads nowhere."""
        if key in ("tab", "shift+tab"):
            order: list[Widget] = [f for f in self.query(FormField) if not f.disabled]
            order.append(self.query_one(FreeText))
            place = order.index(field) + (1 if key == "tab" else -1)
            return order[place] if place >= 0 else None
        by = 1 if key in ("enter", "pagedown") else -1
        step = block_start if key in ("pagedown", "pageup") else lines_of
        target = step(field, list(self.query(FormLine)), by)
        return target or (self.query_one(FreeText) if by > 0 else None)

    def _table(self, table: str) -> TableBlock:
        return self.query_one(f"#form-{table}", TableBlock)

    @staticmethod
    def _block_of(field: FormField) -> RowBlock | None:
        return next((each for each in field.ancestors if isinstance(each, RowBlock)), None)
