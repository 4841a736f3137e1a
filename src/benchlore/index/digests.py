"""What the evidence compares of a note, read when the index is built and kept as JSON.

Reading sixty notes' causes and checks anew would take a question over 0.1 s; their digests take
some milliseconds.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, fields
from typing import Any

from benchlore.language.causes import CauseReading, read_cause
from benchlore.language.checks import CheckReading, read_check
from benchlore.language.limits import Verdict, judge
from benchlore.language.quantities import Quantity, read_quantities
from benchlore.language.things import Thing
from benchlore.language.vocabulary import Vocabulary
from benchlore.notes import Note


@dataclass(frozen=True, slots=True)
class CheckDigest:
    """A check as it is compared.

    Attributes:
        value: what was measured; None where nothing was, or not with a unit that is known.
        verdict: of the value against the note's own limit.
        rules_out, points_to: the causes that the technician named, as read.
    """

    reading: CheckReading
    value: Quantity | None
    verdict: Verdict
    rules_out: tuple[CauseReading, ...]
    points_to: tuple[CauseReading, ...]


@dataclass(frozen=True, slots=True)
class Digest:
    """What a note's causes, checks and routes are compared by, in the order of the note."""

    causes: tuple[CauseReading, ...]
    checks: tuple[CheckDigest, ...]
    routes: tuple[CheckReading, ...]


NO_DIGEST = Digest((), (), ())


def digest_of(note: Note, vocabulary: Vocabulary) -> Digest:
    """Read the causes, checks and routes of `note`."""

    def causes(texts: Iterable[str]) -> tuple[CauseReading, ...]:
        return tuple(read_cause(text, "", vocabulary) for text in texts)

    checks = []
    for check in note.checks:
        values = read_quantities(check.value)
        checks.append(
            CheckDigest(
                read_check(check.check, check.value, vocabulary),
                values[0] if values and values[0].dimension else None,
                judge(check.value, check.limit, check.check),
                causes(check.rules_out),
                causes(check.points_to),
            )
        )
    return Digest(
        tuple(read_cause(cause.part, cause.fault, vocabulary) for cause in note.causes),
        tuple(checks),
        tuple(read_check(route.route, "", vocabulary) for route in note.routes),
    )


def cause_nouns(digest: Digest) -> frozenset[str]:
    """The nouns under which a note's causes are looked up: same causes share one at least."""
    found: set[str] = set()
    for cause in digest.causes:
        for thing in (*cause.things, *((cause.inner,) if cause.inner else ())):
            found.update((thing.noun, *thing.asides))
    return frozenset(found - {""})


def digest_to_json(digest: Digest) -> str:
    """Return `digest` as ASCII JSON."""
    return json.dumps(
        [
            [_cause_row(cause) for cause in digest.causes],
            [
                [
                    _check_row(check.reading),
                    check.value and _quantity_row(check.value),
                    check.verdict,
                    [_cause_row(cause) for cause in check.rules_out],
                    [_cause_row(cause) for cause in check.points_to],
                ]
                for check in digest.checks
            ],
            [_check_row(route) for route in digest.routes],
        ],
        separators=(",", ":"),
    )


def digest_from_json(text: str) -> Digest:
    """Return the digest that `digest_to_json` was given."""
    causes, checks, routes = json.loads(text)
    return Digest(
        tuple(map(_cause, causes)),
        tuple(
            CheckDigest(
                _check(reading),
                _quantity(value) if value else None,
                verdict,
                tuple(map(_cause, rules_out)),
                tuple(map(_cause, points_to)),
            )
            for reading, value, verdict, rules_out, points_to in checks
        ),
        tuple(map(_check, routes)),
    )


def _cause_row(cause: CauseReading) -> list[Any]:
    inner = _row(cause.inner) if cause.inner else None
    return [[_row(thing) for thing in cause.things], inner, sorted(cause.faults), cause.known]


def _cause(row: list[Any]) -> CauseReading:
    things, inner, faults, known = row
    return CauseReading(
        tuple(map(_thing, things)), _thing(inner) if inner else None, frozenset(faults), known
    )


def _check_row(check: CheckReading) -> list[Any]:
    """Things first, the other fields in their order."""
    rest = [_plain(getattr(check, field.name)) for field in fields(check)[1:]]
    return [[_row(thing) for thing in check.things], *rest]


def _check(row: list[Any]) -> CheckReading:
    things, *rest = row
    return CheckReading(tuple(map(_thing, things)), *map(_set, rest))


def _row(thing: Thing) -> list[Any]:
    return [_plain(getattr(thing, field.name)) for field in fields(thing)]


def _thing(row: list[Any]) -> Thing:
    return Thing(*map(_set, row))


def _plain(value: Any) -> Any:  # noqa: ANN401  # str, bool or a set of str or pairs
    return sorted(value) if isinstance(value, frozenset) else value


def _set(value: Any) -> Any:  # noqa: ANN401  # the inverse of `_plain`
    if not isinstance(value, list):
        return value
    return frozenset(tuple(item) if isinstance(item, list) else item for item in value)


def _quantity_row(quantity: Quantity) -> list[Any]:
    q = quantity
    return [q.dimension, q.low, q.high, q.unit, q.text, q.step, q.said]


def _quantity(row: list[Any]) -> Quantity:
    dimension, low, high, unit, text, step, said = row
    written = (said[0], said[1]) if said else None
    return Quantity(dimension, low, high, unit, text, 0, len(text), step, written)
