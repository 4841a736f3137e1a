"""Findings beside their limits: a row a check, its values in one unit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from math import isfinite

from benchlore.evidence.checks import CheckGroup, StatedCheck, limits_seen
from benchlore.evidence.model import FindingRow, OwnReading, ValueSeen
from benchlore.evidence.units import converted
from benchlore.language.limits import judge, read_values
from benchlore.language.quantities import Quantity
from benchlore.language.quantities.model import DIMENSIONS
from benchlore.notes import read_yes_no

_DIGITS = 4
"""Significant digits of a converted value: more than any shop instrument has."""


def finding_rows(
    groups: Sequence[CheckGroup], own: Mapping[int | None, Sequence[str]]
) -> tuple[FindingRow, ...]:
    """Return a row for each check that was measured, those with most values first.

    `own` are the technician's own readings ("0.09 mm") by the number of their check; those under
    None are judged in every row whose values are of their kind.
    """
    rows = []
    for number, group in enumerate(groups):
        row = _row(group, [*own.get(number, ()), *own.get(None, ())])
        if row is not None:
            rows.append(row)
    return tuple(sorted(rows, key=lambda row: -len(row.values)))


def _row(group: CheckGroup, own: Sequence[str]) -> FindingRow | None:
    measured = [each for each in group.stated if each.check.value]
    if not measured:
        return None
    units = Counter(each.digest.value.unit for each in measured if each.digest.value)
    unit = max(units, key=lambda each: units[each]) if units else ""
    difference = any(
        each.digest.value is not None and each.digest.value.dimension == "temperature difference"
        for each in measured
    )
    values = tuple(_value(each, unit, difference) for each in measured)
    verdicts = Counter(value.verdict for value in values)
    kinds = {each.digest.value.dimension for each in measured if each.digest.value}
    return FindingRow(
        group.name,
        unit,
        values,
        limits_seen(group.stated),
        verdicts["within"],
        verdicts["beyond"],
        tuple(reading for text in own for reading in _own(text, group, kinds, unit)),
    )


def _value(stated: StatedCheck, unit: str, difference: bool) -> ValueSeen:
    check, quantity = stated.check, stated.digest.value
    ends = _ends(quantity, unit, difference) if quantity else (None, None)
    foreign = quantity is not None and quantity.unit != unit and None not in ends
    said = read_yes_no(check.ok)
    return ValueSeen(
        check=check.check,
        text=check.value,
        converted=_shown(ends, unit) if foreign else "",
        low=ends[0],
        high=ends[1],
        limit=check.limit,
        limit_from=check.limit_from,
        verdict=stated.digest.verdict,
        said="" if said is None else "yes" if said else "no",
        source=stated.source,
    )


def _ends(quantity: Quantity, unit: str, difference: bool) -> tuple[float | None, float | None]:
    """The two ends of a quantity in `unit`; None where it has none, or is of another kind."""
    said, written = quantity.said, quantity.unit
    if said is None:  # its ends were written in two units
        said, written = (quantity.low, quantity.high), DIMENSIONS[quantity.dimension].base
    try:
        ends = [converted(number, written, unit, difference) for number in said]
    except ValueError:
        return None, None
    low, high = min(ends), max(ends)
    return (low if isfinite(quantity.low) else None), (high if isfinite(quantity.high) else None)


def _shown(ends: tuple[float | None, float | None], unit: str) -> str:
    low, high = ends
    if low is None or high is None:
        return ""
    return (
        f"{low:.{_DIGITS}g} {unit}"
        if low == high
        else f"{low:.{_DIGITS}g}..{high:.{_DIGITS}g} {unit}"
    )


def _own(text: str, group: CheckGroup, kinds: set[str], unit: str) -> list[OwnReading]:
    quantity = next((q for q in read_values(text, group.name) if q.dimension in kinds), None)
    if quantity is None:
        return []
    low, high = _ends(quantity, unit, quantity.dimension == "temperature difference")
    return [
        OwnReading(text, low, high, seen.text, judge(text, seen.text, group.name), seen.sources)
        for seen in limits_seen(group.stated)
    ] or [OwnReading(text, low, high, "", "none", ())]
