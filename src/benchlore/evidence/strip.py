"""A row's values, limits and the technician's own reading on one line of text.

    0.02 [.....o....|.x......x..Y.] 0.15 mm

`o` within its limit, `x` beyond, `?` not judged, `#` several at one place, `|` a limit, `Y` yours.
"""

from __future__ import annotations

from math import isfinite

from benchlore.evidence.model import FindingRow
from benchlore.evidence.units import converted
from benchlore.language.limits import read_limit
from benchlore.language.quantities.model import DIMENSIONS

MARKS = {"within": "o", "beyond": "x", "none": "?"}
LIMIT, OWN, SEVERAL, EMPTY = "|", "Y", "#", "."
LEGEND = "o within, x beyond, ? not judged, # several, | limit, Y yours"
LEAST = 12
"""Cells below which a strip tells nothing."""


def strip(row: FindingRow, width: int) -> str:
    """Return the strip of `row` in at most `width` cells; "" where there is nothing to compare.

    The scale is linear from the least to the greatest of values, limits and own reading.
    """
    marks = [
        (number, MARKS[v.verdict])
        for v in row.values
        for number in {v.low, v.high}
        if number is not None
    ]
    own = [
        number
        for reading in row.own
        for number in {reading.low, reading.high}
        if number is not None
    ]
    limits = _limits(row)
    points = [number for number, _ in marks] + own + limits
    if not marks or len(set(points)) < 2:
        return ""
    low, high = min(points), max(points)
    lead, tail = f"{low:.4g} [", f"] {high:.4g} {row.unit}".rstrip()
    room = width - len(lead) - len(tail)
    if room < LEAST:
        return ""
    cells = [EMPTY] * room

    def place(number: float) -> int:
        return min(room - 1, max(0, round((number - low) / (high - low) * (room - 1))))

    for number in limits:
        cells[place(number)] = LIMIT
    for number, mark in marks:
        here = place(number)
        cells[here] = mark if cells[here] in (EMPTY, LIMIT, mark) else SEVERAL
    for number in own:
        cells[place(number)] = OWN
    return lead + "".join(cells) + tail


def _limits(row: FindingRow) -> list[float]:
    """The ends of the limits in the row's unit."""
    found: set[float] = set()
    for seen in row.limits:
        limit = read_limit(seen.text, row.check)
        if limit is None or not row.unit:
            continue
        base = DIMENSIONS[limit.dimension].base
        difference = limit.dimension == "temperature difference"
        for end in (limit.low, limit.high):
            if isfinite(end):
                try:
                    found.add(converted(end, base, row.unit, difference))
                except ValueError:
                    continue
    return sorted(found)
