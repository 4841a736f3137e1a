"""How far two readings agree: from -1 (they contradict) over 0 (unrelated) to +1 (the same).

What counts as a contradiction, strongest first:

* the same condition, once present and once absent: -1, less where the two only overlap or are
  merely near ("turning" present, "left" absent: a part of it);
* two present conditions that cannot both hold at one moment ("cold" and "hot"): by themselves
  nothing but different moments of the same fault, so 0. Only when one side also denies the other's
  condition is it a contradiction, and then that denial is a reading of its own ("-cold" against
  "+cold") and counts by the first rule. So "+cold" against "+hot; -cold" is -1 by its second part;
* two absent conditions agree weakly: what is quiet at idle in both need not be the same fault.

"any" present agrees with every present value of its axis, and is contradicted by an absent one.

A road speed without a unit is read as km/h, but may have been meant in miles: it agrees by the one
of the two that fits better, and contradicts only where both do.
"""

from __future__ import annotations

from itertools import product
from math import inf

from benchlore.language.axes import ACROSS, excludes, nearness
from benchlore.language.conditions import Reading
from benchlore.language.spans import Span, is_range
from benchlore.language.units import MILE_KM

BOTH_ABSENT = 0.6
"""Agreement of two absences, as a share of that of two presences: own estimate, no source."""

ANY_AGREES = 0.5
ANY_AGAINST_ABSENT = 0.7
CONTRARY_FROM = 0.5
"""Named conditions less alike than this do not contradict each other."""

OVERLAP = 0.8
"""Agreement of two ranges that overlap without one holding the other."""

REACH = {"rpm": 500.0, "km/h": 15.0, "C": 10.0, "s": 30.0, "km": 3.0}
"""Gap of two ranges, in base units, at which nearness has gone to nothing: own estimate."""

HEADROOM = {"rpm": 6000.0, "km/h": 130.0, "C": 130.0, "s": 14_400.0, "km": 300.0}
"""Where an open range is taken to end when two ranges are measured against each other."""


def alikeness(a: Reading, b: Reading) -> float:
    """Return 0..1: how far the conditions of two readings are the same, polarity aside."""
    if a.axis != b.axis:
        return ACROSS.get((a.axis, a.value, b.axis, b.value), 0.0)
    if a.value == b.value:
        return 1.0
    if "any" in (a.value, b.value):
        return ANY_AGREES
    named = nearness(a.axis, a.value, b.value)
    if named:
        return named
    if excludes(a.axis, a.value, b.value):
        return 0.0
    return max((_ranged(one, two) for one, two in _meant(a, b)), default=0.0)


def _meant(a: Reading, b: Reading) -> list[tuple[Span, Span]]:
    """The pairs of ranges that two readings may mean."""
    pairs = product(_spans(a), _spans(b))
    return [(one, two) for one, two in pairs if one.unit == two.unit]


def _spans(reading: Reading) -> list[Span]:
    span = reading.span
    if span is None:
        return []
    if reading.axis == "speed" and is_range(reading.value) and " " not in reading.value:
        return [span, Span(span.low * MILE_KM, span.high * MILE_KM, span.unit)]
    return [span]


def _ranged(one: Span, two: Span) -> float:
    if one.overlaps(two):
        inside = (one.low >= two.low and one.high <= two.high) or (
            two.low >= one.low and two.high <= one.high
        )
        return 1.0 if inside else max(OVERLAP * _shared(one, two), 0.2)
    return 0.5 * max(0.0, 1.0 - one.distance(two) / REACH[one.unit])


def _shared(one: Span, two: Span) -> float:
    """Return how much of the smaller range the two share, open ends cut at `HEADROOM`."""
    top = HEADROOM[one.unit]
    ends = [
        (max(span.low, -top if span.unit == "C" else 0.0), min(span.high, top))
        for span in (one, two)
    ]
    low, high = max(ends[0][0], ends[1][0]), min(ends[0][1], ends[1][1])
    size = min(end - start for start, end in ends)
    if size <= 0 or size == inf:
        return 1.0
    return max(0.0, min(1.0, (high - low) / size))


def agree(a: Reading, b: Reading) -> float:
    """Return -1..1: how far two readings agree or contradict each other; symmetric.

    The readings' own weights (hearsay, hedges) are not in it: multiply by them.
    """
    alike = alikeness(a, b)
    if not alike:
        return 0.0
    if a.polarity == b.polarity:
        return alike if a.polarity == "present" else alike * BOTH_ABSENT
    if a.axis != b.axis:
        return -alike if alike >= CONTRARY_FROM else 0.0
    if "any" in (a.value, b.value):
        present = a if a.polarity == "present" else b
        return -ANY_AGAINST_ABSENT if present.value == "any" else 0.0
    if a.value == b.value:
        return -1.0
    present, absent = (a, b) if a.polarity == "present" else (b, a)
    meant = _meant(present, absent)
    if not meant:
        return -alike if alike >= CONTRARY_FROM else 0.0
    return -min(_overlap(one, two) for one, two in meant)


def _overlap(present: Span, absent: Span) -> float:
    """Opposite polarity contradicts where the ranges meet, not where they are merely near."""
    if not present.overlaps(absent):
        return 0.0
    if present.low >= absent.low and present.high <= absent.high:
        return 1.0
    return OVERLAP * _shared(present, absent)


def contradicts(a: Reading, b: Reading) -> bool:
    """Say whether two readings of one axis contradict each other rather than merely differ."""
    return a.axis == b.axis and agree(a, b) <= -0.5
