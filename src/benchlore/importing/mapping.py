"""Which column becomes which field of a note: the mapping, and reading it from TOML."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from benchlore.errors import UsageError
from benchlore.importing.dates import ORDERS

MAX_BYTES = 64 * 1024

TEXTS = ("case", "date", "by", "symptom", "system", "where")
LISTS = ("present", "absent", "codes", "cautions", "see")
GROUPS = {
    "machine": ("make", "model", "year", "engine", "odometer"),
    "outcome": ("result", "date", "after", "comeback"),
}
"""Fields that stand once, with what each holds."""

TABLES = {
    "checks": ("check", "found", "value", "limit", "limit_from", "minutes", "ok"),
    "causes": ("part", "fault", "certainty"),
    "routes": ("route", "parts_cost", "outside_cost", "labour_hours", "chosen"),
}
"""Fields that may stand several times in a note."""


class MappingError(UsageError):
    """A mapping that cannot be used."""


@dataclass(frozen=True, slots=True)
class From:
    """Where a value comes from.

    Attributes:
        columns: joined by a space where there are several.
        text: stands for the value itself where there are no columns.
        unit: put behind a value that is a bare number.
        values: cells, case folded, and what is written in their place; others stay as they are.
    """

    columns: tuple[str, ...] = ()
    text: str = ""
    unit: str = ""
    values: Mapping[str, str] = field(default_factory=dict, hash=False)


Parts = dict[str, From]


@dataclass(frozen=True, slots=True)
class ColumnMap:
    """How the rows of a table become notes.

    Attributes:
        single: texts and lists by their key.
        groups: `machine` and `outcome`.
        tables: `checks`, `causes` and `routes`, a row each.
        body: headings in order, and what stands below them.
        key: columns that together tell one row from all others; empty: the whole row does.
        leave_out: columns that are not wanted. All others that are not named are kept.
        empty: cells, case folded, that say nothing: `na`.
        separator: stands between several values in the cell of a list.
        date_order: one of `dates.ORDERS`, empty where it is not stated.
        date_formats: see `dates.read_day`.
    """

    single: Parts = field(default_factory=dict, hash=False)
    groups: Mapping[str, Parts] = field(default_factory=dict, hash=False)
    tables: Mapping[str, tuple[Parts, ...]] = field(default_factory=dict, hash=False)
    body: Parts = field(default_factory=dict, hash=False)
    key: tuple[str, ...] = ()
    leave_out: tuple[str, ...] = ()
    empty: frozenset[str] = frozenset()
    separator: str = ";"
    date_order: str = ""
    date_formats: tuple[str, ...] = ()

    def sources(self) -> Iterable[From]:
        """Every place that a value is taken from."""
        yield from self.single.values()
        for parts in self.groups.values():
            yield from parts.values()
        for rows in self.tables.values():
            for parts in rows:
                yield from parts.values()
        yield from self.body.values()

    def dates(self) -> Iterable[From]:
        """Those of `sources` that are dates."""
        if "date" in self.single:
            yield self.single["date"]
        if "date" in self.groups.get("outcome", {}):
            yield self.groups["outcome"]["date"]

    def used(self) -> set[str]:
        """The columns that go to a field or into the body."""
        return {column for source in self.sources() for column in source.columns}

    def check_columns(self, columns: tuple[str, ...]) -> None:
        """Raise MappingError where a column is named that the table does not have."""
        named = [*sorted(self.used()), *self.key, *self.leave_out]
        missing = next((name for name in named if name not in columns), None)
        if missing is not None:
            raise MappingError(
                f"the table has no column '{missing}'", f"it has: {', '.join(columns)}"
            )


def read_mapping(path: Path) -> ColumnMap:
    """Read a mapping file.

    Raises:
        MappingError: it cannot be read, or says something that has no meaning.
    """
    try:
        with path.open("rb") as file:
            data = file.read(MAX_BYTES + 1)
        if len(data) > MAX_BYTES:
            raise MappingError(f"{path.name} is larger than 64 kB", "is it the mapping?")
        table = tomllib.loads(data.decode("utf-8-sig"))
    except OSError as error:
        raise MappingError(f"{path.name} cannot be read: {error.strerror}") from error
    except UnicodeDecodeError:
        raise MappingError(f"{path.name} is not UTF-8", "save it as UTF-8") from None
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        raise MappingError(f"{path.name}: {error}", "see: benchlore import --help") from None
    return mapping_from(table)


_TOP = {
    "note", "body", "key", "leave_out", "empty", "separator", "date_order", "date_formats",
}  # fmt: skip


def mapping_from(table: Mapping[str, object]) -> ColumnMap:
    """The mapping that a TOML table states.

    Raises:
        MappingError: an unknown name, or another kind of value than is wanted.
    """
    _only(table, _TOP, "")
    note = _group(table.get("note", {}), "note")
    _only(note, {*TEXTS, *LISTS, *GROUPS, *TABLES}, "note.")
    order = _text(table.get("date_order", ""), "date_order")
    if order and order not in ORDERS:
        raise MappingError(f"date_order '{order}' is unknown", f"one of: {', '.join(ORDERS)}")
    separator = _text(table.get("separator", ";"), "separator")
    if not separator:
        raise MappingError("separator must not be empty", 'for example separator = ";"')
    body = _group(table.get("body", {}), "body")
    return ColumnMap(
        single={
            name: _from(note[name], f"note.{name}") for name in (*TEXTS, *LISTS) if name in note
        },
        groups={name: _parts(note[name], name) for name in GROUPS if name in note},
        tables={name: _rows(note[name], name) for name in TABLES if name in note},
        body={" ".join(name.split()): _from(body[name], f"body.{name}") for name in body},
        key=_texts(table.get("key", []), "key"),
        leave_out=_texts(table.get("leave_out", []), "leave_out"),
        empty=frozenset(
            text.strip().casefold() for text in _texts(table.get("empty", []), "empty")
        ),
        separator=separator,
        date_order=order,
        date_formats=_texts(table.get("date_formats", []), "date_formats"),
    )


def _only(table: Mapping[str, object], names: Iterable[str], where: str) -> None:
    known = sorted(names)
    for name in table:
        if name not in known:
            raise MappingError(f"{where}{name} is unknown", f"known are: {', '.join(known)}")


def _group(value: object, where: str) -> dict[str, object]:
    if not isinstance(value, dict):
        raise MappingError(f"{where} must be a section: [{where}]")
    return value


def _text(value: object, where: str) -> str:
    if not isinstance(value, str):
        raise MappingError(f"{where} must be a text in quotes")
    return value


def _texts(value: object, where: str) -> tuple[str, ...]:
    items = value if isinstance(value, list) else [value]
    if not all(isinstance(item, str) for item in items):
        raise MappingError(f'{where} must be a list of texts, such as ["A", "B"]')
    return tuple(items)


def _parts(value: object, name: str) -> Parts:
    known = {**GROUPS, **TABLES}[name]
    if isinstance(value, str):  # a bare column means what the group is mainly about
        main = "model" if name == "machine" else known[0]
        return {main: _from(value, f"note.{name}")}
    group = _group(value, f"note.{name}")
    _only(group, known, f"note.{name}.")
    return {part: _from(group[part], f"note.{name}.{part}") for part in known if part in group}


def _rows(value: object, name: str) -> tuple[Parts, ...]:
    return tuple(_parts(item, name) for item in (value if isinstance(value, list) else [value]))


def _from(value: object, where: str) -> From:
    if not isinstance(value, dict):
        columns = _texts(value, where)
        if not columns:
            raise MappingError(f"{where} names no column")
        return From(columns)
    _only(value, ("column", "text", "unit", "values"), f"{where}.")
    if ("column" in value) == ("text" in value):
        raise MappingError(
            f"{where} must have either a column or a text", 'such as {column = "Oil", unit = "bar"}'
        )
    if "text" in value:
        return From(text=_text(value["text"], f"{where}.text"))
    values = _group(value.get("values", {}), f"{where}.values")
    return From(
        columns=_texts(value["column"], f"{where}.column"),
        unit=_text(value.get("unit", ""), f"{where}.unit"),
        values={
            cell.strip().casefold(): _text(said, f"{where}.values.{cell}")
            for cell, said in values.items()
        },
    )
