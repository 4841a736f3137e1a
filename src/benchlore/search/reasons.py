"""Which conditions of a question and a note agree, which contradict each other, and how much."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from benchlore.language import Reading
from benchlore.language.agreement import agree
from benchlore.language.axes import BESIDE
from benchlore.language.spans import Span
from benchlore.search.results import Match

SHOWN_FROM = 0.3
"""Weaker agreement or contradiction counts, but is not named as a reason."""


@dataclass(frozen=True, slots=True)
class Compared:
    """How a question's conditions compare with a note's.

    Attributes:
        agree, conflict: sums over the question's conditions, each by what it tells (see `telling`).
        agrees, conflicts: the pairs worth naming, strongest first.
    """

    agree: float = 0.0
    conflict: float = 0.0
    agrees: tuple[Match, ...] = ()
    conflicts: tuple[Match, ...] = ()


NOTHING = Compared()

Condition = tuple[str, str, str, Span | None]
"""What of a reading agrees or contradicts: axis, value, polarity and range."""


def _condition(reading: Reading) -> Condition:
    return reading.axis, reading.value, reading.polarity, reading.span


@lru_cache(maxsize=50_000)
def _agree(one: Condition, other: Condition) -> float:
    """`agree`, kept: notes state the same few hundred conditions again and again."""
    first, second = (
        Reading(axis, value, polarity, "", span=span)
        for axis, value, polarity, span in (one, other)
    )
    return agree(first, second)


def telling(
    readings: Sequence[Reading], counts: Iterable[tuple[Reading, int]], notes: int
) -> tuple[float, ...]:
    """Return for each condition how much it tells, 0..1.

    "At the front" stands in every second note and tells little; "turning left" tells much. By the
    logarithm of the share of `notes` that agree with it, 1 where at most one does.
    """
    if not readings:
        return ()
    agreeing = [0.0] * len(readings)
    asked = [(place, _condition(r), BESIDE[r.axis]) for place, r in enumerate(readings)]
    for other, count in counts:
        stated = _condition(other)
        for place, condition, beside in asked:
            if other.axis in beside:
                agreeing[place] += count * max(0.0, _agree(condition, stated))
    most = math.log((notes + 1) / 2) if notes > 1 else 1.0
    return tuple(min(1.0, max(0.0, math.log((notes + 1) / (held + 1)) / most)) for held in agreeing)


def compare(
    readings: Sequence[Reading], tells: Sequence[float], others: Sequence[Reading]
) -> Compared:
    """Compare a question's conditions with those of one note.

    Each condition of the question counts by its best agreement; and as a contradiction only by as
    much as its worst contradiction goes beyond that.
    """
    if not readings or not others:
        return NOTHING
    agreement = conflict = 0.0
    agrees: list[tuple[float, Match]] = []
    conflicts: list[tuple[float, Match]] = []
    for reading, tell in zip(readings, tells, strict=True):
        beside, asked = BESIDE[reading.axis], _condition(reading)
        scored = [(_agree(asked, _condition(o)) * o.weight, o) for o in others if o.axis in beside]
        if not scored:
            continue
        best, like = max(scored, key=_strength)
        worst, unlike = min(scored, key=_strength)
        good = max(best, 0.0)
        bad = max(-worst - good, 0.0)
        agreement += tell * reading.weight * good
        conflict += tell * reading.weight * bad
        if bad > SHOWN_FROM:
            conflicts.append((bad, Match(reading, unlike)))
        elif good > SHOWN_FROM:
            agrees.append((good, Match(reading, like)))
    return Compared(agreement, conflict, _named(agrees), _named(conflicts))


def _strength(scored: tuple[float, Reading]) -> float:
    return scored[0]


def _named(found: list[tuple[float, Match]]) -> tuple[Match, ...]:
    return tuple(match for _, match in sorted(found, key=lambda pair: -pair[0]))
