"""A measured value and its limit in words, and why one cannot be judged by the other."""

from __future__ import annotations

import re
from math import isfinite

from benchlore.language.limits import Limit, read_limit, read_values
from benchlore.language.quantities import Quantity
from benchlore.language.spans import written

_UPSIDE_DOWN = ("mpg",)
"""Units in which more is less of what they are compared by."""

_DIGIT = re.compile(r"\d")


def value_words(value: str, check: str = "") -> str:
    """`0.14 mm` as it was read; several with commas; empty where no value with a unit is read."""
    return ", ".join(_quantity(q) for q in read_values(value, check) if q.dimension)


def _quantity(quantity: Quantity) -> str:
    if quantity.said is None or not quantity.closed:
        return quantity.text
    low, high = quantity.said
    number = written(low) if low == high else f"{written(low)} to {written(high)}"
    return f"{number} {quantity.unit}"


def limit_words(limit: str, check: str = "") -> str:
    """`at most 0.05 mm`, `12.4 to 12.8 V` as it was read; empty where no limit is."""
    read = read_limit(limit, check)
    if read is None:
        return ""
    said = [q for q in read_values(limit, check) if q.dimension]
    first = said[0]
    if len(said) > 1 or first.said is None or first.unit in _UPSIDE_DOWN:
        return " and ".join(q.text for q in said)
    low, high = first.said
    if low != high:
        return f"{written(low)} to {written(high)} {first.unit}"
    return f"{_side(read)} {written(low)} {first.unit}"


def _side(limit: Limit) -> str:
    if isfinite(limit.high):
        return "below" if limit.high_open else "at most"
    return "above" if limit.low_open else "at least"


def why_not(value: str, limit: str, check: str = "") -> str:
    """Why `value` cannot be judged by `limit`, in words; for pairs that `judge` gives "none" for.

    A value without a limit to keep to is "no limit"; one without a number needs none and gives "".
    """
    if not _DIGIT.search(value):
        return "no number in the value" if limit else ""
    values = [q for q in read_values(value, check) if q.dimension]
    if not values:
        return "the value has no unit that is known"
    if not limit.strip():
        return "no limit"
    wanted = [q for q in read_values(limit, check) if q.dimension]
    if not wanted:
        known = "the limit has no unit that is known"
        return known if _DIGIT.search(limit) else "no number in the limit"
    read = read_limit(limit, check)
    if read is None:
        return 'the limit does not say which side is right: "<=", ">=" or "low..high"'
    if any(q.dimension != read.dimension for q in values):
        other = next(q for q in values if q.dimension != read.dimension)
        return f"units of two kinds: {other.unit} and {read.unit}"
    return "the value does not tell on which side of the limit it is"
