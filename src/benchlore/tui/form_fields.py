"""The fields of the write-up form, and the rows in which they stand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.message import Message
from textual.suggester import Suggester

from benchlore.notes.quoting import Value
from benchlore.tui.display import Shown, row
from benchlore.tui.safe_input import SafeInput
from benchlore.writeup.form import (
    CAUSE,
    CHECK,
    JOB,
    MACHINE,
    OUTCOME,
    REST,
    ROUTE,
    SYMPTOM,
    TABLES,
    Field,
    TypedRow,
    shown_value,
)
from benchlore.writeup.offering import Offer

LABEL_WIDTH = 10
"""Cells of the label at the left edge."""

LINES: Sequence[Sequence[Field]] = (
    *((field,) for field in SYMPTOM[:4]),
    SYMPTOM[4:],
    MACHINE[:3],
    MACHINE[3:],
)
"""The single fields above the tables, as they stand side by side."""

LAST_LINES: Sequence[Sequence[Field]] = (
    OUTCOME[:2],
    OUTCOME[2:],
    *((field,) for field in REST),
    JOB,
)
"""Those below the tables."""

TABLE_LINES: Mapping[str, Sequence[Sequence[Field]]] = {
    "checks": (CHECK[:1], CHECK[1:4], CHECK[4:6], CHECK[6:]),
    "causes": (CAUSE[:1], CAUSE[1:]),
    "routes": (ROUTE[:1], ROUTE[1:]),
}
_ROW_NAMES = {"checks": "check", "causes": "cause", "routes": "repair"}


class FormField(SafeInput):
    """One field. Right takes what is offered, once the cursor is at the end."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *(
            Binding(keys, f"go({keys.partition(',')[0]!r})", says, show=False, id=f"form.{name}",
                    priority=True)
            for keys, name, says in (
                ("tab", "next_field", "Next field"),
                ("shift+tab", "field_before", "Field before"),
                ("enter,down", "next_line", "Next line"),
                ("up", "line_before", "Line before"),
                ("pagedown", "next", "Next check, cause or part"),
                ("pageup", "before", "Check, cause or part before"),
            )
        ),
        Binding("ctrl+n", "other", "Other word", show=False, id="form.other",
                tooltip="Offer the next word that fits"),
    ]  # fmt: skip

    def __init__(self, field: Field, text: str, table: str = "", hint: bool = True) -> None:
        """`text` is what stands in it; `table` as in `TABLES`, empty for a field that is single.

        `hint`: show an example while it is empty.
        """
        # In brackets: on a terminal without colours it must not look like something typed.
        super().__init__(placeholder=f"({field.hint})" if field.hint and hint else "")
        self.field = field
        self.table = table
        self.offers: tuple[Offer, ...] = ()
        self.suggester = _Ghost(self)
        self.value = text
        self.filled = self.value
        """What stood in it at the beginning, as a field can show it."""
        # What a field cannot show whole must not be put back cut.
        self.disabled = self.value != text
        if field.width:
            self.styles.width = field.width + 1
            self.styles.max_width = field.width + 1

    @property
    def is_touched(self) -> bool:
        """Whether it says something else than at the beginning."""
        return self.value != self.filled

    @property
    def first_offer(self) -> Offer | None:
        """What Right would take."""
        return self.offers[0] if self.offers else None

    def action_cursor_right(self, select: bool = False) -> None:
        """At the end take what is offered."""
        offer = self.first_offer
        if not select and self.cursor_at_end and offer is not None:
            self.value = offer.text
            self.cursor_position = len(self.value)
        else:
            super().action_cursor_right(select)

    def action_other(self) -> None:
        """Offer the next one first."""
        self.offers = (*self.offers[1:], *self.offers[:1])
        self.post_message(self.Offered(self))

    def action_go(self, key: str) -> None:
        """Another field. The binding has priority, so that the focus moves before the next key
        comes in: what is typed fast must not land in the field that was left.
        """
        self.screen.go_from(self, key)  # type: ignore[attr-defined]  # WriteScreen

    @dataclass
    class Offered(Message):
        """Other offers stand first."""

        field: FormField


class _Ghost(Suggester):
    """Shows the rest of the first offer behind what is typed."""

    def __init__(self, field: FormField) -> None:
        super().__init__(use_cache=False, case_sensitive=True)
        self._field = field

    async def get_suggestion(self, value: str) -> str | None:
        offer = self._field.first_offer
        return offer.text if offer and offer.text.startswith(value) else None


class FormLine(Horizontal):
    """Fields side by side, each behind its label."""

    def __init__(
        self,
        fields: Sequence[Field],
        texts: Mapping[str, str],
        hint: bool,
        table: str = "",
        name: str = "",
    ) -> None:
        """`texts` by the fields' keys; `name` stands at the left in place of the first label."""
        super().__init__(classes="form-line")
        self._fields = fields
        self._texts = texts
        self._hint = hint
        self._table = table
        self._name = name

    def compose(self) -> ComposeResult:
        """Label, field, label, field."""
        for number, field in enumerate(self._fields):
            label = self._name if self._name and not number else field.label
            padded = f"{label:<{LABEL_WIDTH - 1}} " if not number else f" {label} "
            yield Shown(row(padded), classes="form-label")
            yield FormField(field, self._texts.get(field.key, ""), self._table, self._hint)


class RowBlock(Vertical):
    """The fields of one check, cause or repair."""

    def __init__(
        self, table: str, number: int, was: Mapping[str, Value] | None, hint: bool
    ) -> None:
        """`was` is the row as the note has it; None for one to be filled in."""
        super().__init__(classes="form-block")
        self.table = table
        self._number = number
        self._was = was
        self._hint = hint

    def compose(self) -> ComposeResult:
        """Its lines; the first is numbered."""
        fields = TABLES[self.table]
        was = self._was or {}
        texts = {field.key: shown_value(field, was.get(field.key, "")) for field in fields}
        name = f"{_ROW_NAMES[self.table]} {self._number}"
        for number, line in enumerate(TABLE_LINES[self.table]):
            yield FormLine(line, texts, self._hint, self.table, name if not number else "")

    @property
    def typed(self) -> TypedRow:
        """What stands in it now."""
        return TypedRow(self._was, texts_of(f for f in self.query(FormField) if f.is_touched))

    @property
    def is_named(self) -> bool:
        """Whether anything stands in it."""
        return any(text.strip() for text in texts_of(self.query(FormField)).values())


def texts_of(fields: Iterable[FormField]) -> dict[str, str]:
    """What stands in `fields`, by their keys."""
    return {each.field.key: each.value for each in fields}


class TableBlock(Vertical):
    """All rows of a table and an empty one behind them."""

    def __init__(self, table: str, rows: Sequence[Mapping[str, Value]], hint: bool) -> None:
        """`hint`: show examples in empty fields."""
        super().__init__(id=f"form-{table}", classes="form-table")
        self._hint = hint
        self.table = table
        self._rows = rows

    def compose(self) -> ComposeResult:
        """The rows, and one to be filled in."""
        for number, was in enumerate((*self._rows, None), start=1):
            yield RowBlock(self.table, number, was, self._hint)

    def grow(self) -> None:
        """Have just one empty row at the end."""
        blocks = list(self.query(RowBlock))
        if blocks and blocks[-1].is_named:
            self.mount(RowBlock(self.table, len(blocks) + 1, None, self._hint))
            return
        while len(blocks) > 1 and not blocks[-2].is_named and not blocks[-1].has_focus_within:
            blocks.pop().remove()

    def typed(self) -> list[TypedRow]:
        """What stands in its rows."""
        return [block.typed for block in self.query(RowBlock)]

    def place_of(self, block: RowBlock) -> int:
        """The how manieth of the rows that hold anything `block` is, from 0."""
        named = [each for each in self.query(RowBlock) if each.is_named or each is block]
        return named.index(block)


def lines_of(field: FormField, lines: Sequence[FormLine], by: int) -> FormField | None:
    """The first field of the line `by` lines from that of `field`."""
    here = next((n for n, line in enumerate(lines) if field in line.children), None)
    if here is None or not 0 <= here + by < len(lines):
        return None
    return next(_fields(lines[here + by]), None)


def block_start(field: FormField, lines: Sequence[FormLine], by: int) -> FormField | None:
    """The first field of the next block, or of the one before."""
    here = next((n for n, line in enumerate(lines) if field in line.children), 0)
    starts = [n for n, line in enumerate(lines) if n == 0 or line.parent is not lines[n - 1].parent]
    block = lines[here].parent
    if isinstance(block, RowBlock) and not block.is_named:  # one empty row is enough to stop at
        starts = [n for n in starts if not _is_blank_row(lines[n].parent, block.table)]
    if by > 0:
        place = next((n for n in starts if n > here), None)
    else:
        place = next((n for n in reversed(starts) if n < here), None)
    return next(_fields(lines[place]), None) if place is not None else None


def _is_blank_row(parent: object, table: str) -> bool:
    return isinstance(parent, RowBlock) and parent.table == table and not parent.is_named


def _fields(line: FormLine) -> Iterator[FormField]:
    children = (child for child in line.children if isinstance(child, FormField))
    return (child for child in children if not child.disabled)
