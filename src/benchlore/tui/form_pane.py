"""All fields of a case below each other: filled in, gone through, and read out again."""

from __future__ import annotations

from dataclasses import dataclass

from textual.containers import VerticalScroll
from textual.message import Message
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

    @property
    def is_filled(self) -> bool:
        """Whether there are fields: not while they are being replaced."""
        return bool(self.query(FreeText))

    def typed(self) -> tuple[Fields, str]:
        """What the fields and the free text say now."""
        single = texts_of(each for each in self.query(FormField) if not each.table)
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
            if field.table and field.value:
                self._table(field.table).grow()
            self.post_message(self.Edited(field))

    def on_text_area_changed(self, event: TextArea.Changed) -> None:
        """The free text says something else."""
        self.post_message(self.Edited(None))

    def on_form_field_moved(self, event: FormField.Moved) -> None:
        """Go to another line or block."""
        step = block_start if event.block else lines_of
        target = step(event.field, list(self.query(FormLine)), event.by)
        if target is not None:
            target.focus()
        elif event.by > 0:
            self.query_one(FreeText).focus()

    def _table(self, table: str) -> TableBlock:
        return self.query_one(f"#form-{table}", TableBlock)

    @staticmethod
    def _block_of(field: FormField) -> RowBlock | None:
        return next((each for each in field.ancestors if isinstance(each, RowBlock)), None)
