"""A table as a source of notes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace

from benchlore.importing.dates import ORDERS, OrderUnknown, read_day
from benchlore.importing.incoming import Incoming, LeftOut, Source
from benchlore.importing.mapping import ColumnMap, From, MappingError
from benchlore.importing.rows import RowReader
from benchlore.importing.table import DELIMITERS, Row, Table


def table_source(table: Table, mapping: ColumnMap) -> Source:
    """The rows of `table` as notes. It is read once to the end, for its length and its dates.

    Raises:
        MappingError: a column that is not there; a date that needs an order nobody stated.
        SourceError: the file cannot be read on.
    """
    reader = RowReader(mapping, table.columns)
    total = _survey(table, mapping)

    def notes() -> Iterator[Incoming | LeftOut]:
        for row in table.rows():
            yield row if isinstance(row, LeftOut) else reader.note(row)

    return Source(table.name, "rows", total, notes, tuple(_told(table)))


def with_order(mapping: ColumnMap, order: str) -> ColumnMap:
    """`mapping` with another order of dates."""
    return replace(mapping, date_order=order) if order else mapping


def _told(table: Table) -> Iterator[str]:
    name = next((name for name, sign in DELIMITERS.items() if sign == table.delimiter), "")
    yield f"{len(table.columns)} columns, cut at each {name or table.delimiter}"
    if table.source.guessed():
        yield "encoding guessed: cp1252; another one is named with --encoding"


def _survey(table: Table, mapping: ColumnMap) -> int:
    """The number of rows.

    Raises:
        MappingError: a date stands there whose order is not stated. All dates are looked at first,
            so that the message can say what they allow.
    """
    total = 0
    first: tuple[int, OrderUnknown] | None = None
    fits: Counter[str] = Counter()
    unclear = 0
    sources = [] if mapping.date_order else [each for each in mapping.dates() if each.columns]
    for row in table.rows():
        total += 1
        if isinstance(row, LeftOut):
            continue
        for source in sources:
            try:
                read_day(_cell(table, row, source), formats=mapping.date_formats)
            except OrderUnknown as error:
                first = first or (row.line, error)
                fits.update(error.fits)
                unclear += 1
    if first is not None:
        counts = ", ".join(f"{fits[name]} as {name}" for name in ORDERS if fits[name])
        raise MappingError(
            f"{table.name}, line {first[0]}: '{first[1]}': which of the numbers is the day? "
            f"Of {unclear} such dates can be read: {counts or 'none'}",
            'state it in the mapping, such as date_order = "day-month-year", or with --date-order',
        )
    return total


def _cell(table: Table, row: Row, source: From) -> str:
    cells = dict(zip(table.columns, row.cells, strict=True))
    return " ".join(part for column in source.columns if (part := cells[column].strip()))
