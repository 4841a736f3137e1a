"""What the evidence compares of a note, read when the index is built and kept as JSON.

Reading sixty notes' causes and checks anew would take a question over 0.1 s; their digests take
some milliseconds.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, fields, is_dataclass
from functools import lru_cache
from typing import Any, TypeVar

from benchlore.index.earlier import Earlier, earlier_diagnoses
from benchlore.language.causes import CauseReading, read_cause
from benchlore.language.checks import CheckReading, read_check
from benchlore.language.limits import Verdict, judge, read_values
from benchlore.language.quantities import Quantity
from benchlore.language.things import Thing
from benchlore.language.vocabulary import Vocabulary
from benchlore.notes import Note

Made = TypeVar("Made")


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
    """What a note's causes, checks and routes are compared by, in the order of the note.

    Attributes:
        earlier: what was dealt with before and was not the cause.
    """

    causes: tuple[CauseReading, ...]
    checks: tuple[CheckDigest, ...]
    routes: tuple[CheckReading, ...]
    earlier: tuple[Earlier, ...]


NO_DIGEST = Digest((), (), (), ())


def digest_of(note: Note, vocabulary: Vocabulary) -> Digest:
    """Read the causes, checks and routes of `note`."""

    def causes(texts: Iterable[str]) -> tuple[CauseReading, ...]:
        return tuple(read_cause(text, "", vocabulary) for text in texts)

    checks = []
    for check in note.checks:
        values = read_values(check.value, check.check)
        checks.append(
            CheckDigest(
                read_check(check.check, check.value, vocabulary),
                values[0] if values and values[0].dimension else None,
                judge(check.value, check.limit, check.check),
                causes(check.rules_out),
                causes(check.points_to),
            )
        )
    stated = tuple(read_cause(cause.part, cause.fault, vocabulary) for cause in note.causes)
    return Digest(
        stated,
        tuple(checks),
        tuple(read_check(route.route, "", vocabulary) for route in note.routes),
        earlier_diagnoses(note, stated, vocabulary),
    )


def nouns_of(cause: CauseReading) -> frozenset[str]:
    """The nouns under which a cause is looked up: causes that are the same share one at least."""
    things = (*cause.things, *cause.within)
    found = {noun for thing in things for noun in (thing.noun, *thing.asides)}
    return frozenset(found - {""})


def cause_to_json(cause: CauseReading) -> str:
    """Return `cause` as ASCII JSON."""
    return json.dumps(_plain(cause), separators=(",", ":"))


@lru_cache(maxsize=20_000)
def cause_from_json(text: str) -> CauseReading:
    """Return the cause that `cause_to_json` was given; causes written alike are read once."""
    return _made(CauseReading, json.loads(text))


def digest_to_json(digest: Digest) -> str:
    """Return `digest` as ASCII JSON."""
    return json.dumps(_plain(digest), separators=(",", ":"))


def digest_from_json(text: str) -> Digest:
    """Return the digest that `digest_to_json` was given."""
    causes, checks, routes, earlier = json.loads(text)
    return Digest(
        tuple(_made(CauseReading, each) for each in causes),
        tuple(
            CheckDigest(
                _made(CheckReading, reading),
                _made(Quantity, value) if value else None,
                verdict,
                tuple(_made(CauseReading, each) for each in rules_out),
                tuple(_made(CauseReading, each) for each in points_to),
            )
            for reading, value, verdict, rules_out, points_to in checks
        ),
        tuple(_made(CheckReading, each) for each in routes),
        tuple(_made(Earlier, each) for each in earlier),
    )


_SET, _THING = "set", "thing"


def _plain(value: Any) -> Any:  # noqa: ANN401  # any field of a digest
    """A dataclass as the list of its fields, a set as {"set": [...]}, a tuple as a list."""
    if isinstance(value, Thing):
        return {_THING: [_plain(getattr(value, field.name)) for field in fields(value)]}
    if is_dataclass(value):
        return [_plain(getattr(value, field.name)) for field in fields(value)]
    if isinstance(value, frozenset):
        return {_SET: [_plain(item) for item in sorted(value)]}
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return value


def _made(kind: type[Made], row: list[Any]) -> Made:
    return kind(*map(_value, row))


def _value(plain: Any) -> Any:  # noqa: ANN401  # the inverse of `_plain`
    if isinstance(plain, dict):
        if _THING in plain:
            return _made(Thing, plain[_THING])
        return frozenset(_value(item) for item in plain[_SET])
    return tuple(map(_value, plain)) if isinstance(plain, list) else plain
