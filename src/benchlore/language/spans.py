"""Number ranges behind conditions, and how a range is written.

A range is written canonically: `2500`, `>=2500`, `<2500`, `1500..2000`, a unit after a space.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

ABOUT = 0.10
"""`about`, `around`, `-ish`: 10 % either side."""


@dataclass(frozen=True, slots=True)
class Span:
    """A closed range of numbers in the base unit of its axis.

    Attributes:
        low, high: -inf..inf, `low <= high`.
        unit: "rpm", "km/h", "C", "s" or "km".
    """

    low: float
    high: float
    unit: str

    def overlaps(self, other: Span) -> bool:
        """Say whether the two ranges share more than one edge of an open range."""
        if self.unit != other.unit:
            return False
        low, high = max(self.low, other.low), min(self.high, other.high)
        return low < high or (low == high and (self.low == self.high or other.low == other.high))

    def distance(self, other: Span) -> float:
        """Return the gap between the two ranges in their unit, 0 where they meet."""
        return max(0.0, other.low - self.high, self.low - other.high)


BANDS: dict[tuple[str, str], Span] = {
    ("rpm", "off"): Span(0, 0, "rpm"),
    ("rpm", "cranking"): Span(100, 400, "rpm"),
    ("rpm", "idle"): Span(500, 1000, "rpm"),
    ("rpm", "low"): Span(1000, 2000, "rpm"),
    ("rpm", "mid"): Span(2000, 3500, "rpm"),
    ("rpm", "high"): Span(3500, inf, "rpm"),
    ("speed", "stationary"): Span(0, 0, "km/h"),
    ("speed", "crawl"): Span(0, 10, "km/h"),
    ("speed", "low"): Span(10, 50, "km/h"),
    ("speed", "mid"): Span(50, 90, "km/h"),
    ("speed", "high"): Span(90, inf, "km/h"),
    ("temp", "cold"): Span(-inf, 40, "C"),
    ("temp", "warming"): Span(40, 75, "C"),
    ("temp", "hot"): Span(75, 105, "C"),
    ("temp", "overheated"): Span(105, inf, "C"),
    ("weather", "frost"): Span(-inf, 0, "C"),
    ("weather", "cold-day"): Span(-inf, 8, "C"),
    ("weather", "hot-day"): Span(25, inf, "C"),
    ("course", "first-seconds"): Span(0, 60, "s"),
    ("history", "first-use"): Span(0, 10, "km"),
    ("history", "long-run"): Span(15, inf, "km"),
}
"""Ranges of the named values: common practice for a petrol car, no source. Frost overlaps a cold
day."""


def named(axis: str, span: Span) -> str:
    """Return the name of the one band that holds `span` wholly, or ""."""
    for (of, name), band in BANDS.items():
        if of == axis and band.unit == span.unit and band.low <= span.low <= span.high <= band.high:
            return name
    return ""


def written(number: float) -> str:
    """Return a number without needless zeros."""
    return f"{number:.10g}"


def canonical(sign: str, low: float, high: float | None, unit: str) -> str:
    """Return `>=60 mph`, `1500..2000` and so on; `sign` is "", "<", "<=", ">" or ">="."""
    text = written(low) if high is None else f"{written(low)}..{written(high)}"
    return f"{sign}{text} {unit}".rstrip()


_COMPLEMENT = {"<": ">=", "<=": ">", ">": "<=", ">=": "<"}


def complements(value: str) -> tuple[str, ...]:
    """Return the written ranges of everything outside a written range."""
    number, _, unit = value.partition(" ")
    tail = f" {unit}" if unit else ""
    sign = number[: len(number) - len(number.lstrip("<>="))]
    number = number[len(sign) :]
    if sign:
        return (f"{_COMPLEMENT[sign]}{number}{tail}",)
    low, _, high = number.partition("..")
    return (f"<{low}{tail}", f">{high or low}{tail}")


def is_range(value: str) -> bool:
    """Say whether a condition's value is a written number or range (gears are names)."""
    body = value.lstrip("<>=-")
    return bool(body) and body[0].isdigit()
