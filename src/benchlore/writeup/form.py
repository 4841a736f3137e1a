"""The write-up form as data: its fields, and how what is typed in them becomes values of a note."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from benchlore.notes import Note, read_note
from benchlore.notes.compose import compose, filled
from benchlore.notes.quoting import Value

Kind = Literal["text", "list", "sentences"]

MARKS: Mapping[Kind, tuple[str, ...]] = {
    "text": (),
    "list": (",", ";", "|"),
    "sentences": (";", "|"),
}
"""What parts the texts of a field; a later mark where it is typed, so that a text can hold one."""

Fields = dict[str, Value]
"""Front matter by key, as `notes.parts` gives it and `notes.compose` takes it."""

BODY = "\0body"
"""The free text among the fields, under a name that no field can have."""


@dataclass(frozen=True, slots=True)
class Field:
    """One field of the form.

    Attributes:
        key: where its value stands: `symptom`, or `machine.make`; in a row of a table its key.
        label: what stands before it.
        kind: how typed text becomes a value.
        width: characters that it usually needs; 0 for as many as there are.
        hint: an example, shown while it is empty.
    """

    key: str
    label: str
    kind: Kind = "text"
    width: int = 0
    hint: str = ""


SYMPTOM = (
    Field("symptom", "symptom", hint="what the customer notices"),
    Field("present", "shows", "list", hint="cold, above 50 km/h, turning left"),
    Field("absent", "not when", "list", hint="hot, standing still"),
    Field("where", "where", hint="rear, from the right"),
    Field("system", "system", width=14, hint="wheels"),
    Field("codes", "codes", "list", width=24, hint="P0301"),
)
MACHINE = (
    Field("machine.make", "make", width=14),
    Field("machine.model", "model", width=16),
    Field("machine.year", "year", width=6),
    Field("machine.engine", "engine", width=10),
    Field("machine.odometer", "odometer", width=14, hint="142300 km"),
)
CHECK = (
    Field("check", "check", hint="what was looked at or measured"),
    Field("found", "found", width=24),
    Field("value", "value", width=14, hint="0.14 mm"),
    Field("limit", "limit", width=16, hint="<= 0.05 mm"),
    Field("limit_from", "from", width=20, hint="workshop manual"),
    Field("minutes", "minutes", width=5),
    Field("points_to", "points to", "list", width=24),
    Field("rules_out", "rules out", "list", width=24),
)
CAUSE = (
    Field("part", "part", width=30, hint="wheel bearing right rear"),
    Field("fault", "fault", width=30, hint="raceway pitted"),
    Field("certainty", "certainty", width=11, hint="proved"),
)
ROUTE = (
    Field("route", "repair", width=36, hint="press in a new bearing"),
    Field("labour_hours", "hours", width=6),
    Field("parts_cost", "parts", width=8),
    Field("outside_cost", "outside", width=8),
    Field("chosen", "taken", width=5, hint="yes"),
)
OUTCOME = (
    Field("outcome.result", "outcome", width=12, hint="fixed"),
    Field("outcome.date", "on", width=11),
    Field("outcome.after", "after", width=12, hint="4100 km"),
    Field("outcome.comeback", "came back", width=6, hint="no"),
)
REST = (
    Field("cautions", "cautions", "sentences", hint="for this job, besides the usual ones"),
    Field("see", "see", "list", hint="2023-0098, articles/hum.md"),
    Field("files", "files", "list", hint="photo beside the note, or any file: it is copied there"),
)
JOB = (
    Field("case", "case", width=14, hint="2025-0147"),
    Field("date", "date", width=11),
    Field("by", "by", width=6),
)

SINGLE = (*SYMPTOM, *MACHINE, *OUTCOME, *REST, *JOB)
"""The fields that stand once."""

TABLES: Mapping[str, tuple[Field, ...]] = {"checks": CHECK, "causes": CAUSE, "routes": ROUTE}
"""The fields of each table's rows; the first of them names the row."""

CHOICES: Mapping[str, tuple[str, ...]] = {
    "certainty": ("proved", "likely", "suspected", "unknown"),
    "outcome.result": ("fixed", "improved", "not fixed", "declined", "open"),
    "outcome.comeback": ("no", "yes"),
    "chosen": ("yes", "no"),
}
"""The words of the format for fields that take one of a few."""


def typed_value(field: Field, text: str) -> Value:
    """What is typed in `field` as the note's value."""
    marks = MARKS[field.kind]
    if not marks:
        return text.strip()
    mark = next((mark for mark in reversed(marks) if mark in text), marks[0])
    return [part.strip() for part in text.split(mark) if part.strip()]


def shown_value(field: Field, value: Value) -> str:
    """A note's value as it stands in `field`, from where `typed_value` gives it back.

    Texts are parted by the first mark that none of them holds.
    """
    if not isinstance(value, list):
        return value_words(value)
    texts = [value_words(item) for item in value]
    marks = MARKS[field.kind] or (",",)
    held = [mark for mark in marks if any(mark in text for text in texts)]
    mark = next((mark for mark in marks if mark not in held), marks[-1])
    return f"{mark} ".join(texts) + (mark if len(texts) == 1 and held else "")


def value_words(value: Value) -> str:
    """Any value of a note on one line, to be looked at."""
    if isinstance(value, str):
        return " ".join(value.split())
    if isinstance(value, list):
        return "; ".join(map(value_words, value))
    return ", ".join(f"{name}: {value_words(item)}" for name, item in value.items())


def value_at(fields: Mapping[str, Value], key: str) -> Value:
    """The value at a dotted `key`; an empty text where there is none."""
    head, _, rest = key.partition(".")
    value = fields.get(head, "")
    if not rest:
        return value
    if isinstance(value, dict):
        return value.get(rest, "")
    # `outcome: fixed` and `machine: Carrier 35` mean the result and the model.
    main = {"outcome": "result", "machine": "model"}.get(head)
    return value if rest == main and isinstance(value, str) else ""


def with_value(fields: Mapping[str, Value], key: str, value: Value) -> Fields:
    """`fields` with the value at a dotted `key` replaced."""
    head, _, rest = key.partition(".")
    if not rest:
        return {**fields, head: value}
    group = fields.get(head, {})
    if not isinstance(group, dict):
        main = {"outcome": "result", "machine": "model"}.get(head, "")
        group = {main: group} if main and group else {}
    return {**fields, head: {**group, rest: value}}


def rows_of(fields: Mapping[str, Value], table: str) -> list[dict[str, Value]]:
    """The rows of a table, each by its own keys; a bare text is the row's first field."""
    value = fields.get(table, [])
    first = TABLES[table][0].key
    if isinstance(value, str):
        return [{first: value}] if value.strip() else []
    if isinstance(value, dict):
        return [value]
    return [item if isinstance(item, dict) else {first: shown_value(TABLES[table][0], item)}
            for item in value]  # fmt: skip


Texts = Mapping[str, str]
"""What stands in fields, by their keys."""


@dataclass(frozen=True, slots=True)
class TypedRow:
    """A row of a table on the form: what it was, and what was typed into its fields since.

    `was` is None for a row that the form added.
    """

    was: Mapping[str, Value] | None
    texts: Texts


def typed_into(
    start: Mapping[str, Value], single: Texts, tables: Mapping[str, Sequence[TypedRow]]
) -> Fields:
    """What the form says: `start` with the fields that were touched.

    Args:
        start: what the form was filled with.
        single: what stands in the fields that were touched, by their keys.
        tables: the rows of each table, in order.

    Values that were not touched stay as they are, also where the form cannot show all of them.
    """
    fields: Fields = dict(start)
    for field in SINGLE:
        if field.key in single:
            fields = with_value(fields, field.key, typed_value(field, single[field.key]))
    for table, rows in tables.items():
        now: list[Value] = [kept for each in rows if (kept := _typed_row(table, each)) is not None]
        if now != rows_of(start, table):
            fields[table] = now
    return fields


def _typed_row(table: str, typed: TypedRow) -> dict[str, Value] | None:
    """The row as it is now; None where it was emptied or never begun."""
    row = dict(typed.was or {})
    for field in TABLES[table]:
        if field.key in typed.texts:
            row[field.key] = typed_value(field, typed.texts[field.key])
    if filled(row) or (typed.was is not None and not filled(dict(typed.was))):
        return row  # a row that the note itself has empty keeps its place
    return None


def as_note(fields: Mapping[str, Value], body: str, path: str = "kb/new.md") -> Note:
    """What is typed, read as the note that it would become."""
    return read_note(path, compose(fields, body))


def is_blank(fields: Mapping[str, Value], body: str) -> bool:
    """Nothing has been typed."""
    return not filled(dict(fields)) and not body.strip()


LISTS = frozenset(field.key for field in SINGLE if field.kind != "text") | frozenset(TABLES)
"""Keys whose value is a list."""


def with_added(fields: Mapping[str, Value], key: str, value: Value) -> Fields:
    """`fields` with `value` added to the list at `key`, or put at `key` where one text stands."""
    if key not in LISTS:
        there = value_at(fields, key)
        if isinstance(value, dict) and isinstance(there, dict):
            value = {**there, **value}
        return with_value(fields, key, value)
    there = value_at(fields, key)
    kept = there if isinstance(there, list) else [there] if there else []
    new = value if isinstance(value, list) else [value]
    return with_value(fields, key, [*kept, *(item for item in new if item not in kept)])


def stands_already(fields: Mapping[str, Value], key: str) -> bool:
    """Whether `with_added` would put something in place of what stands at `key`."""
    there = value_at(fields, key)
    if isinstance(there, dict):
        return bool(filled(there))
    return key not in LISTS and bool(filled(there))
