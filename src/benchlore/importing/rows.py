"""A row of a table and a mapping to a note that is not written yet."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import partial

from benchlore.importing.dates import OrderUnknown, read_day
from benchlore.importing.incoming import Incoming, LeftOut, identity
from benchlore.importing.mapping import GROUPS, LISTS, TEXTS, ColumnMap, From, Parts
from benchlore.importing.prose import section
from benchlore.importing.table import Row
from benchlore.notes.compose import compose
from benchlore.notes.quoting import Value

REST = "columns"
"""The key that keeps the columns which the mapping does not name."""

LONG_CELL = 200
"""Characters from which such a column stands in the body instead, as one of several lines does."""

MOST_REST = 100
"""Columns kept in front matter; a note's front matter has its limits."""

_FRONT_MATTER = 20 * 1024
"""Characters of all that goes into front matter; a reader takes 64 kB and 5,000 pieces of it."""

_BARE_NUMBER = re.compile(r"[-+]?\d[\d.,\u2019' ]*")
_ISO = re.compile(r"(\d{4})-\d\d-\d\d\Z")
_LIST_BREAK = re.compile(r"[\r\n]+")
_CODE_BREAK = re.compile(r"[,;\r\n]+")


@dataclass(slots=True)
class _Said:
    """What one row says, while it is read."""

    cells: dict[str, str]
    fields: dict[str, Value] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)
    kept: set[str] = field(default_factory=set)
    """Columns that are also kept as they stand, as the field tells less than they do."""


class RowReader:
    """Turns the rows of one table into notes."""

    def __init__(self, mapping: ColumnMap, columns: tuple[str, ...]) -> None:
        """Raise MappingError where the mapping names a column that `columns` lacks."""
        mapping.check_columns(columns)
        self._mapping = mapping
        self._columns = columns
        away = {*mapping.used(), *mapping.leave_out}
        self._rest = tuple(column for column in columns if column not in away)

    def note(self, row: Row) -> Incoming | LeftOut:
        """The note that `row` makes."""
        place = f"line {row.line}"
        written = dict(zip(self._columns, row.cells, strict=True))
        key = [written[column].strip() for column in self._mapping.key]
        if self._mapping.key and not any(key):
            return LeftOut(place, f"nothing in {' and '.join(self._mapping.key)}, which is its key")
        pairs = [text for pair in written.items() for text in pair]
        told_by = ["row", *self._mapping.key, *key] if key else pairs
        said = _Said({column: self._cell(text) for column, text in written.items()})
        body = self._read(said)
        if not body and not said.fields:
            return LeftOut(place, "none of the wanted columns says anything")
        if len(str({**said.fields, REST: ""})) > _FRONT_MATTER:
            return LeftOut(place, "too long for these fields; give its long columns to [body]")
        return Incoming(
            place=place,
            identity=identity(*told_by),
            content=identity(*pairs),
            stem=self._stem(said),
            render=partial(_rendered, said.fields, body),
            unique=bool(key),
            year=_year(said),
            remarks=tuple(said.remarks),
        )

    def _cell(self, text: str) -> str:
        bare = text.strip()
        return "" if bare.casefold() in self._mapping.empty else bare

    def _read(self, said: _Said) -> str:
        """Fill `said.fields`; return the body."""
        mapping = self._mapping
        for name in TEXTS:
            if name in mapping.single and (text := self._text(said, mapping.single[name])):
                said.fields[name] = (
                    self._date(said, mapping.single[name], text) if name == "date" else text
                )
        for name in LISTS:
            if name in mapping.single and (text := self._text(said, mapping.single[name])):
                said.fields[name] = self._listed(name, text)
        for name in GROUPS:
            if group := self._parts(said, mapping.groups.get(name, {})):
                said.fields[name] = group
        for name, rows in mapping.tables.items():
            entries = [self._parts(said, parts) for parts in rows if _stated(said, parts)]
            if entries:
                said.fields[name] = list(entries)
        sections = [
            section(heading, text)
            for heading, source in mapping.body.items()
            if (text := self._text(said, source, "\n\n"))
        ]
        return "\n".join([*sections, *self._keep_rest(said)])

    def _keep_rest(self, said: _Said) -> list[str]:
        """Put the columns that no field takes beside the others; return those for the body."""
        rest: dict[str, Value] = {}
        sections: list[str] = []
        room = _FRONT_MATTER - len(str(said.fields)) - 6 * MOST_REST
        for column in self._columns:
            text = said.cells[column]
            if not text or not (column in self._rest or column in said.kept):
                continue
            room -= len(repr(column)) + len(repr(text)) + 4
            short = max(len(column), len(text)) <= LONG_CELL and not _LIST_BREAK.search(text)
            if short and room > 0 and len(rest) < MOST_REST:
                rest[column] = text
            else:
                sections.append(section(column, text))
        if rest:
            said.fields[REST] = rest
        return sections

    def _text(self, said: _Said, source: From, between: str = " ") -> str:
        if not source.columns:
            return source.text
        parts = [said.cells[column] for column in source.columns]
        text = between.join(part for part in parts if part)
        if text.casefold() in source.values:
            said.kept.update(source.columns)
            return source.values[text.casefold()]
        if source.unit and _BARE_NUMBER.fullmatch(text):
            return f"{text} {source.unit}"
        return text

    def _date(self, said: _Said, source: From, text: str) -> str:
        if not source.columns:
            return text
        try:
            day = read_day(text, self._mapping.date_order, self._mapping.date_formats)
        except OrderUnknown:  # a table is looked through for these before its rows are taken
            day = None
        if day is None:
            said.remarks.append(f"'{text[:40]}' is not a date; kept as typed")
            return text
        if not day.whole:
            said.kept.update(source.columns)
        return day.iso

    def _listed(self, name: str, text: str) -> list[Value]:
        if name == "codes":
            parts = _CODE_BREAK.split(text.replace(self._mapping.separator, ";"))
        else:
            lines = _LIST_BREAK.split(text)
            parts = [part for line in lines for part in line.split(self._mapping.separator)]
        return [part.strip() for part in parts if part.strip()]

    def _parts(self, said: _Said, parts: Parts) -> dict[str, Value]:
        out: dict[str, Value] = {}
        for name, source in parts.items():
            if text := self._text(said, source):
                out[name] = self._date(said, source, text) if name == "date" else text
        return out

    def _stem(self, said: _Said) -> tuple[str, ...]:
        texts = [said.fields.get(name, "") for name in ("case", "date", "symptom")]
        case, date, symptom = (text if isinstance(text, str) else "" for text in texts)
        return (case or date, symptom)


def _year(said: _Said) -> str:
    date = said.fields.get("date", "")
    found = _ISO.match(date) if isinstance(date, str) else None
    return found[1] if found else ""


def _stated(said: _Said, parts: Parts) -> bool:
    """Whether a row of a table holds more than the mapping's own words."""
    return any(said.cells[column] for source in parts.values() for column in source.columns)


def _rendered(fields: dict[str, Value], body: str, mark: str) -> bytes:
    return compose({**fields, "imported": mark}, body)
