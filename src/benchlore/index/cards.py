"""A note as it is kept in the store: everything but its text and sections, as JSON.

The text is read from the file when it is shown; the rest goes with every result.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from benchlore.notes import Cause, Check, Lines, Machine, Note, Outcome, Problem, Route, Stated

_LEFT_OUT = ("text", "sections")


def note_to_json(note: Note) -> str:
    """Return `note` without its text and sections as ASCII JSON."""
    table = {key: value for key, value in asdict(note).items() if key not in _LEFT_OUT}
    return json.dumps(table, separators=(",", ":"))


def note_from_json(text: str) -> Note:
    """Return the note that `note_to_json` was given, with an empty text and no sections."""
    table: dict[str, Any] = json.loads(text)
    machine = table["machine"]
    outcome = table["outcome"]
    stated = ("present", "absent", "codes", "cautions", "covers", "files", "extra")
    return Note(
        **{
            **table,
            **{key: tuple(_stated(item) for item in table[key]) for key in stated},
            "text": "",
            "symptom": _stated(table["symptom"]) if table["symptom"] else None,
            "where": _stated(table["where"]) if table["where"] else None,
            "machine": Machine(**_with_lines(machine)) if machine["lines"] else Machine(),
            "checks": tuple(_check(item) for item in table["checks"]),
            "causes": tuple(Cause(**_with_lines(item)) for item in table["causes"]),
            "routes": tuple(Route(**_with_lines(item)) for item in table["routes"]),
            "outcome": Outcome(**_with_lines(outcome)) if outcome else None,
            "see": tuple(table["see"]),
            "problems": tuple(Problem(**item) for item in table["problems"]),
        }
    )


Wording = tuple[str, str]
"""The front matter key of a text, `checks.limit_from` where it is inside one, and the text."""

_LISTS = {
    "checks": ("check", "limit_from"),
    "causes": ("part", "fault"),
    "routes": ("route",),
}


def wordings(card: str) -> Iterator[Wording]:
    """Yield the words of a stored note that others may be written alike to; empty ones left out.

    Straight from the JSON: making ten thousand notes of it takes over a second. A check comes as
    `checks.check`, and once more as `checks.value` with its value behind a tab.
    """
    table: dict[str, Any] = json.loads(card)
    yield "system", table["system"]
    for key in ("make", "model", "engine"):
        yield f"machine.{key}", table["machine"][key]
    for name, keys in _LISTS.items():
        for item in table[name]:
            for key in keys:
                yield f"{name}.{key}", item[key]
    for check in table["checks"]:
        if check["value"]:
            yield "checks.value", f"{check['check']}\t{check['value']}"
        for key in ("rules_out", "points_to"):
            yield from ((f"checks.{key}", text) for text in check[key])
    yield from (("cautions", item["text"]) for item in table["cautions"])


def _stated(table: dict[str, Any]) -> Stated:
    return Stated(table["text"], Lines(**table["lines"]))


def _with_lines(table: dict[str, Any]) -> dict[str, Any]:
    extra = tuple((key, value) for key, value in table["extra"])
    return {**table, "lines": Lines(**table["lines"]), "extra": extra}


def _check(table: dict[str, Any]) -> Check:
    fields = _with_lines(table)
    fields["rules_out"] = tuple(table["rules_out"])
    fields["points_to"] = tuple(table["points_to"])
    return Check(**fields)
