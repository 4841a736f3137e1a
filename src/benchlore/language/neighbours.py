"""What a clause without a statement of its own takes from its neighbours (rule 1)."""

from __future__ import annotations

from collections.abc import Sequence

from benchlore.language.axes import excludes
from benchlore.language.items import Clause
from benchlore.language.scope import Governed, Reading, within
from benchlore.language.states import PRESENT, Run, State, bare_denial


def govern(clauses: Sequence[Clause]) -> list[Reading]:
    """Return every clause of a sentence with its conditions governed."""
    readings = within(clauses)
    for place, reading in enumerate(readings):
        _from_neighbours(readings, place, reading)
    for place, reading in enumerate(readings):
        _function_where_it_works(readings, place, reading)
    return readings


def _function_where_it_works(readings: Sequence[Reading], place: int, reading: Reading) -> None:
    """Read "jumps out on the overrun, holds under drive": a function set against its lack."""
    works = reading.runs and all(_plain_function(run) for run in reading.runs)
    if not works or reading.last is not State.PRESENT:
        return
    beside = [readings[n] for n in (place - 1, place + 1) if 0 <= n < len(readings)]
    wrong = [r for r in beside if r.last is State.PRESENT and any(_tells(run) for run in r.runs)]
    if any(_set_apart(reading, other) for other in wrong):
        for governed in reading.governed:
            if not governed.operator:
                governed.state = State.ABSENT


def _plain_function(run: Run) -> bool:
    return all("func" in tags and not tags & {"bad", "lack", "still"} for tags in run.tags)


def _tells(run: Run) -> bool:
    return run.has("bad", "lack", "no", "not")


def _from_neighbours(readings: Sequence[Reading], place: int, reading: Reading) -> None:
    """Give a clause without a statement of its own that of its neighbour (rule 1)."""
    open_ones = [governed for governed in reading.governed if governed.state is None]
    if not open_ones:
        _denial_after_fine(readings, place, reading)
        return
    state, run = _borrowed(readings, place, reading, open_ones)
    for governed in open_ones:
        governed.state = state
        governed.run = governed.run or run
        governed.weak = run is not None and run.has("tried")
    reading.last = reading.last or state


def _denial_after_fine(readings: Sequence[Reading], place: int, reading: Reading) -> None:
    """Read "fine cold, not hot": the denial turns "fine" round."""
    before = readings[place - 1] if place else None
    if before is None or before.last not in (State.ABSENT, State.GONE) or before.denies:
        return
    for governed in reading.governed:
        if governed.run is not None and bare_denial(governed.run) and not governed.operator:
            governed.state = State.PRESENT


def _borrowed(
    readings: Sequence[Reading], place: int, reading: Reading, items: Sequence[Governed]
) -> tuple[State, Run | None]:
    before = next((r for r in reversed(readings[:place]) if r.runs or r.governed), None)
    after = readings[place + 1] if place + 1 < len(readings) else None
    alone = reading.segments[0].parts == [] and len(reading.segments) > 1
    operator = items[0].operator
    if operator in ("except", "unless", "until", "rather") and alone and before is not None:
        return before.last or State.PRESENT, None
    if after is not None and after.clause.has("else"):
        return State.PRESENT, None  # "pulls right under braking, fine otherwise"
    if after is not None and (_verdict(after) or _result(reading, after)):
        return after.last or State.PRESENT, after.runs[-1]
    end = next((r for r in readings[place + 1 :] if not r.bare), None)
    if end is not None and end is not after and not reading.runs and _result(reading, end):
        return end.last or State.PRESENT, end.runs[-1]  # "hot, cold, empty, and not a peep"
    if reading.content and _unclear(readings, place, reading):
        return State.UNSAID, None
    if reading.content or (operator == "only" and not _carried(before)):
        return State.PRESENT, None
    if after is not None and after.runs and not after.governed and after.clause.intro != "then":
        return after.last or State.PRESENT, after.runs[-1]
    if before is not None and before.last is not None:
        if _contrast(before, reading):
            return State.PRESENT, None
        if before.last is not State.NO_EFFECT:
            return before.last, before.runs[-1] if before.runs else None
        return State.PRESENT, None
    if after is not None and after.bare and before is None:
        return _first_statement(readings[place + 1 :])
    if after is not None and after.runs and after.clause.intro == ",":
        if bare_denial(after.runs[0]) or _apart(reading, after):
            return State.PRESENT, None  # P28: "on the overrun, not under power"
        first = next((g.state for g in after.governed if g.run is after.runs[0]), after.last)
        return first or State.PRESENT, after.runs[0]
    return State.PRESENT, None


def _first_statement(readings: Sequence[Reading]) -> tuple[State, Run | None]:
    """Look along a list, "cold, wet, over bumps, it squeals", for its statement."""
    for reading in readings:
        if reading.clause.intro not in (",", "and"):
            break
        if reading.runs:
            if bare_denial(reading.runs[0]):
                break
            return reading.last or State.PRESENT, reading.runs[0]
        if reading.content:
            break
    return State.PRESENT, None


_TELLING = frozenset({("temp", "overheated"), ("rpm", "cranking")})


def _apart(reading: Reading, after: Reading) -> bool:
    """Say whether two clauses are set against each other: "boils towing, fine in winter"."""
    mine = [v for item in reading.clause.conditions for v in item.values]
    if any((v.axis, v.value) in _TELLING or v.axis in ("course", "place") for v in mine):
        return True
    return _set_apart(reading, after)


def _set_apart(reading: Reading, after: Reading) -> bool:
    """Say whether two clauses hold conditions that exclude each other."""
    mine = [v for item in reading.clause.conditions for v in item.values]
    other = [v for item in after.clause.conditions for v in item.values]
    return any(
        one.axis == two.axis and excludes(one.axis, one.value, two.value)
        for one in mine
        for two in other
    )


_PLACES = "above below over under beyond either outside"
_ORDER = "second third next other others"
_APART = frozenset((*_PLACES.split(), *_ORDER.split()))
_VERDICTS = (State.ABSENT, State.SAME, State.WORSE, State.BETTER)


def _verdict(reading: Reading) -> bool:
    """Say whether a clause is a verdict on the one before: "nothing", "fine", "no change"."""
    if len(reading.runs) != 1 or reading.governed or reading.content:
        return False
    if any(not _APART.isdisjoint(item.text.lower().split()) for item in reading.clause.items):
        return False  # "smooth below that"
    return reading.clause.intro == "," and reading.last in _VERDICTS


def _result(reading: Reading, after: Reading) -> bool:
    """Say whether the next clause is what came of it: "drop to third and it is gone"."""
    joined = after.clause.intro == "and" or "and" in after.clause.items[0].tags
    if reading.runs or after.governed or not after.runs or not joined:
        return False
    told = after.runs[-1]
    return after.last is not State.PRESENT and not told.has("func") and not told.has("lack")


def _unclear(readings: Sequence[Reading], place: int, reading: Reading) -> bool:
    """Say whether words that are not understood are set against a symptom that is told.

    "Judders when hot, cold it is [unknown]" may well praise it cold.
    """
    if any(r.clause.has("both", "used-to", "still") for r in readings):
        return False
    beside = [readings[n] for n in (place - 1, place + 1) if 0 <= n < len(readings)]
    for other in beside:
        later = max(reading, other, key=readings.index)
        apart = later.clause.intro == "but" or _set_apart(reading, other)
        if other.runs and other.governed and other.last in PRESENT and apart:
            return True
    return False


def _carried(before: Reading | None) -> bool:
    """Say whether "only when hot" carries on "clears": the clause before has no condition."""
    return before is not None and before.last is State.GONE and not before.governed


def _contrast(before: Reading, reading: Reading) -> bool:
    """P27: after "not X", the bare "Y" or "it's Y" is where it does show."""
    if before.last in PRESENT:
        return False
    if reading.clause.intro == "but" or reading.clause.has("its", "still"):
        return True
    if any(
        value.value == "constant" for item in reading.clause.conditions for value in item.values
    ):
        return True  # "never empty, every time with a load on"
    denied = [g for g in before.governed if g.run is not None and bare_denial(g.run)]
    return any(
        one.axis == two.axis and excludes(one.axis, one.value, two.value)
        for governed in denied
        for one in governed.item.values
        for item in reading.clause.conditions
        for two in item.values
    )
