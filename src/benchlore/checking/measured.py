"""Values and limits: units that are missing, limits that cannot judge, verdicts against them."""

from __future__ import annotations

import re
from collections.abc import Iterator

from benchlore.checking.model import Seen
from benchlore.checking.places import Places
from benchlore.language.limits import Limit, judge, read_limit, read_values
from benchlore.language.words import fold
from benchlore.notes import Check, Note, read_yes_no

_NUMBER = r"[+-]?\d+(?:[.,]\d+)*"
_SIGNS = r"[<>=~\N{LESS-THAN OR EQUAL TO}\N{GREATER-THAN OR EQUAL TO}\N{PLUS-MINUS SIGN}\s]"
_BARE = re.compile(
    rf"(?:{_SIGNS}|about|ca\.?|approx\.?|around|max\.?|min\.?|over|under|at most|at least|up to)*"
    rf"{_NUMBER}(?:\s*(?:-|\N{{EN DASH}}|\.\.+|to|and|,\s|;)\s*{_NUMBER})*\s*(?:max\.?)?",
    re.I,
)
"""Numbers and nothing that could be a unit."""
_COUNT = re.compile(r"\d[\d., ]*")
_DISTANCE = "write km, miles or h behind it"
_LONGEST = 80
"""Characters from which a value is prose."""

_UNITLESS = frozenset(
    fold(
        "count counts counted number turns teeth clicks threads codes cylinders times cycles lambda"
        " ratio gravity sg ph factor index duty afr leaves plies bolts studs pieces bars"
    )
)
"""Words of a check whose result is a count or a ratio: common practice, no source."""

_MEASURES = frozenset(
    fold(
        "play clearance runout gap thickness depth wear travel height pressure compression vacuum"
        " voltage volts drop current amps draw resistance temperature torque speed idle flow float"
        " endfloat backlash preload length width diameter toe camber castor weight leakdown"
    )
)
"""Words of a check whose result has a unit: common practice, no source."""


def measured(note: Note, places: Places) -> Iterator[Seen]:
    """Look at every check of `note`."""
    for check in note.checks:
        limit = read_limit(check.limit, check.check) if check.limit else None
        if check.value:
            yield from _value(check, limit, places)
        if check.limit and limit is None:
            yield from _limit(check, places)
        yield from _verdict(check, places)
    machine, ended = note.machine, note.outcome
    if machine.odometer and machine.lines and _COUNT.fullmatch(machine.odometer.strip()):
        at = places.value(machine.lines, "odometer", machine.odometer)
        yield Seen("unit", at, f"the odometer's '{machine.odometer}' has no unit", _DISTANCE)
    if ended and ended.after and _COUNT.fullmatch(ended.after.strip()):
        at = places.value(ended.lines, "after", ended.after)
        yield Seen("unit", at, f"after: '{ended.after}' has no unit", _DISTANCE)


def _value(check: Check, limit: Limit | None, places: Places) -> Iterator[Seen]:
    at = places.value(check.lines, "value", check.value)
    if _is_bare(check.value):
        if limit is not None:
            what = f"the value '{check.value}' has no unit, its limit is in {limit.unit}"
            yield Seen("unit", at, what, "write the unit that was read behind it")
        elif _wants_unit(check.check, check.value):
            what = f"the value '{check.value}' has no unit"
            yield Seen("unit", at, what, "write the unit that was read behind it: 0.14 mm")
        return
    kinds = {quantity.dimension for quantity in read_values(check.value, check.check)} - {""}
    if limit is not None and kinds and limit.dimension not in kinds:
        if {limit.dimension, *kinds} == {"temperature", "temperature difference"}:
            return
        what = f"the value '{check.value}' cannot be compared with its limit '{check.limit}'"
        yield Seen("unit", at, what, "one of the two has the wrong unit")


def _is_bare(text: str) -> bool:
    return len(text) <= _LONGEST and _BARE.fullmatch(text) is not None


def _wants_unit(name: str, value: str) -> bool:
    """Say whether a bare number must have had a unit: it is a decimal, or a measure is named."""
    words = set(fold(name))
    if words & _UNITLESS:
        return False
    return bool(words & _MEASURES) or re.search(r"\d[.,]\d", value) is not None


def _limit(check: Check, places: Places) -> Iterator[Seen]:
    """Say why a limit could not be read; words ("no play") are left to people."""
    at = places.value(check.lines, "limit", check.limit)
    said = f"the limit '{check.limit}'"
    if _is_bare(check.limit):
        measured = any(q.dimension for q in read_values(check.value, check.check))
        bare = _is_bare(check.value)  # then the value has been named
        if measured or (not bare and _wants_unit(check.check, check.limit)):
            yield Seen("limit", at, f"{said} has no unit", "write it like <= 0.05 mm")
    elif any(quantity.dimension for quantity in read_values(check.limit, check.check)):
        todo = "write it like <= 0.05 mm, >= 1.0 bar or 12.4..12.8 V"
        yield Seen("limit", at, f"{said} does not say on which side of it things are right", todo)


def _verdict(check: Check, places: Places) -> Iterator[Seen]:
    if not check.ok:
        return
    at = places.value(check.lines, "ok", check.ok)
    verdict = read_yes_no(check.ok)
    if verdict is None:
        yield Seen("verdict", at, f"ok: '{check.ok}' is neither yes nor no", "write true or false")
        return
    if not (check.value and check.limit):
        return
    judged = judge(check.value, check.limit, check.check)
    if verdict and judged == "beyond":
        what = f"ok: {check.ok}, but {check.value} is beyond the limit {check.limit}"
        yield Seen("verdict", at, what, "one of the three is wrong")
    elif not verdict and judged == "within":
        what = f"ok: {check.ok}, but {check.value} keeps to the limit {check.limit}"
        yield Seen("verdict", at, what, "one of the three is wrong")
