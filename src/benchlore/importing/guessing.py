"""A mapping guessed from the words of a table's header, and written out to be mended by hand."""

from __future__ import annotations

import re
from collections.abc import Iterator

from benchlore.importing.mapping import LISTS, TEXTS, ColumnMap, From, Parts

_HEADINGS: dict[str, tuple[str, ...]] = {
    # Field, and what a header may call it: the likelier name first. Common practice, no source.
    "case": (
        "job card", "job number", "job no", "job id", "job", "work order", "order number",
        "order no", "order", "wo", "ticket", "case",
    ),
    "date": (
        "date", "job date", "start date", "opened", "date in", "order date", "created",
        "reported on", "day",
    ),
    "by": ("by", "technician", "mechanic", "fitter", "tech", "worked by", "initials"),
    "symptom": (
        "symptom", "complaint", "customer complaint", "problem", "fault reported", "concern",
        "short text", "shorttext", "description", "subject", "title",
    ),
    "system": ("system", "major system", "area", "subsystem", "assembly"),
    "where": ("where", "location", "position", "side"),
    "present": ("shows when", "present when", "happens when", "when"),
    "absent": ("not when", "absent when"),
    "codes": ("trouble codes", "fault codes", "codes", "dtc", "dtcs", "code"),
    "machine.make": ("make", "manufacturer", "maker"),
    "machine.model": ("model", "machine", "vehicle", "asset", "equipment", "unit"),
    "machine.year": ("year", "model year", "built"),
    "machine.engine": ("engine", "engine code"),
    "machine.odometer": (
        "odometer", "mileage", "km", "miles", "kilometres", "hour meter", "machine hours",
    ),
    "outcome.result": ("result", "outcome", "status"),
    "outcome.comeback": ("comeback", "came back", "repeat"),
    "checks.check": ("check", "test", "inspection"),
    "checks.found": ("found", "finding", "findings"),
    "checks.value": ("value", "reading", "measured"),
    "checks.limit": ("limit", "spec", "specification", "target"),
    "causes.part": ("part", "component", "failed part", "cause"),
    "causes.fault": ("fault", "failure mode", "fm", "failure", "defect"),
    "routes.route": ("action", "repair", "work done", "remedy", "correction", "action taken"),
    "routes.parts_cost": ("parts cost", "cost of parts", "material cost", "parts"),
    "routes.outside_cost": ("outside cost", "external cost", "subcontract"),
    "routes.labour_hours": ("labour hours", "labor hours", "hours worked", "labour", "labor"),
}  # fmt: skip

_LONG = ("notes", "remarks", "comments", "comment", "details", "long text", "what was done")
_PIECES = re.compile(r"[A-Z]+(?![a-z])|[A-Z]?[a-z]+|\d+|[^\W\d_]+")


def guess_mapping(columns: tuple[str, ...]) -> ColumnMap:
    """Give each field the column whose name tells of it best; no column goes to two fields."""
    words = {
        column: tuple(piece.casefold() for piece in _PIECES.findall(column)) for column in columns
    }
    offers = sorted(
        (-score, order, columns.index(column), field)
        for order, (field, names) in enumerate(_HEADINGS.items())
        for column in columns
        if (score := _score(words[column], names))
    )
    taken: dict[str, str] = {}
    for _, _, number, name in offers:
        if name not in taken and columns[number] not in taken.values():
            taken[name] = columns[number]
    return _mapping(taken, [c for c in columns if _score(words[c], _LONG) >= _WHOLE])


_WHOLE = 100


def _score(words: tuple[str, ...], names: tuple[str, ...]) -> int:
    """How well a header fits: the whole of it, else its end, else any part; 0 for not at all."""
    best = 0
    for order, name in enumerate(names):
        wanted = tuple(name.split())
        count = len(wanted)
        if words == wanted:
            best = max(best, 2 * _WHOLE - order)
        elif words[-count:] == wanted:
            best = max(best, _WHOLE // 2 + 10 * count - order)
        elif count > 1 and any(words[i : i + count] == wanted for i in range(len(words))):
            best = max(best, _WHOLE // 4 + 10 * count - order)
    return best


def _mapping(taken: dict[str, str], long: list[str]) -> ColumnMap:
    parts: dict[str, Parts] = {}
    for name in _HEADINGS:
        group, _, part = name.rpartition(".")
        if name in taken and group:
            parts.setdefault(group, {})[part] = From((taken[name],))
    return ColumnMap(
        single={name: From((taken[name],)) for name in (*TEXTS, *LISTS) if name in taken},
        groups={name: parts[name] for name in ("machine", "outcome") if name in parts},
        tables={name: (parts[name],) for name in ("checks", "causes", "routes") if name in parts},
        body={column: From((column,)) for column in long if column not in taken.values()},
    )


def as_toml(mapping: ColumnMap, columns: tuple[str, ...]) -> str:
    """The mapping as a file to start from; what was not given to any field stands as comments."""
    return "\n".join(_toml_lines(mapping, columns)) + "\n"


def _toml_lines(mapping: ColumnMap, columns: tuple[str, ...]) -> Iterator[str]:
    yield "# Which column becomes which field of a note: field = column."
    yield _choice("date_order", mapping.date_order, "day-month-year")
    yield '# empty = ["NA", "n/a", "-"]          # cells that say nothing'
    yield '# separator = ";"                     # between several values in one cell'
    yield '# key = ["Order no"]                  # what tells rows apart; else the whole row'
    yield '# leave_out = ["Internal"]            # columns that are not wanted'
    yield ""
    yield "[note]"
    for name, source in mapping.single.items():
        yield f"{name} = {_column(source)}"
    for name, group in mapping.groups.items():
        for part, source in group.items():
            yield f"{name}.{part} = {_column(source)}"
    for name, rows in mapping.tables.items():
        for parts in rows:
            inside = ", ".join(f"{part} = {_column(source)}" for part, source in parts.items())
            yield f"{name} = [{{{inside}}}]"
    yield '# outcome.result = {column = "Done", values = {Y = "fixed", N = "not fixed"}}'
    yield '# by = {text = "KM"}'
    yield '# checks = [{check = {text = "oil pressure"}, value = {column = "Oil", unit = "bar"}}]'
    yield ""
    yield "[body]                                # heading = column"
    for heading, source in mapping.body.items():
        yield f"{_quoted(heading)} = {_column(source)}"
    rest = [column for column in columns if column not in mapping.used()]
    if rest:
        yield ""
        yield "# Kept below `columns`, as no field takes them:"
        yield from (f"#   {_quoted(column)}" for column in rest)


def _choice(name: str, value: str, example: str) -> str:
    return f'{name} = "{value}"' if value else f'# {name} = "{example}"       # or month-day-year'


def _column(source: From) -> str:
    names = [_quoted(column) for column in source.columns]
    return names[0] if len(names) == 1 else f"[{', '.join(names)}]"


def _quoted(text: str) -> str:
    """A TOML basic string (TOML 1.0.0, section String); what is not printable is escaped."""
    return '"' + "".join(map(_escaped, text)) + '"'


def _escaped(char: str) -> str:
    if char in '"\\':
        return "\\" + char
    if char.isprintable():
        return char
    return f"\\u{ord(char):04X}" if ord(char) < 0x10000 else f"\\U{ord(char):08X}"
