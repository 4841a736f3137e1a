"""Limits as notes give them, and whether a value keeps to one: "<= 0.05 mm", "12.4..12.8 V"."""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import inf, isfinite
from typing import Literal

from benchlore.language.quantities import Quantity, read_quantities

Verdict = Literal["within", "beyond", "none"]

SLACK = 1e-6
"""Relative: values that convert to the limit itself keep to it (the factors have seven digits)."""

_DIFFERENCE = re.compile(
    r"\b(?:drops?|rises?|fall|difference|differs?|spread|differential|delta|over ambient"
    r"|above ambient|below ambient|across|between)\b",
    re.I,
)
_AT_MOST = re.compile(
    r"(?:<|=<|\N{LESS-THAN OR EQUAL TO})|\b(?:max(?:imum)?|at most|up to|under|below|less than"
    r"|not (?:over|above|more than)|no more than|or less)\b",
    re.I,
)
_AT_LEAST = re.compile(
    r"(?:>|=>|\N{GREATER-THAN OR EQUAL TO})|(?<![/\d])(?<!\d )\bmin(?:imum)?\b"
    r"|\b(?:at least|over|above|more than|not (?:under|below|less than)|no less than|or more)\b",
    re.I,
)
_OR_EQUAL = re.compile(r"\bor equal\b", re.I)
_STRICT = re.compile(
    r"<(?!=)|(?<!=)>(?!=)|(?<!not )(?<!no )\b(?:under|below|less than|over|above|more than)\b",
    re.I,
)
_ABOUT = re.compile(
    r"\b(?:about|around|approx\w*|roughly|nominal(?:ly)?|typically|ish|circa|ca)\b|~", re.I
)
_KELVIN = re.compile(r"(?<=\d)\s?K\b")


@dataclass(frozen=True, slots=True)
class Limit:
    """What a value has to keep to.

    Attributes:
        low, high: ends in the dimension's base unit, -inf or inf where there is none.
        low_open, high_open: the end itself is beyond.
        dimension: a key of `quantities.model.DIMENSIONS`.
        unit: as this program spells it.
        text: the limit as written.
    """

    low: float
    high: float
    low_open: bool
    high_open: bool
    dimension: str
    unit: str
    text: str


def read_limit(text: str, about: str = "") -> Limit | None:
    """Return the limit that `text` states; None where none can be read, or it has no unit.

    `about` is the check's name: a "drop" or "difference" of temperatures is no temperature. A range
    written the wrong way round is the range that it plainly means. "About 60 ohm" cannot judge.
    """
    found = [q for q in read_values(text, about) if q.dimension]
    if not found or len(found) > 2:
        return None
    first = found[0]
    if len(found) == 2:
        return _both(first, found[1], text)
    strict = bool(_STRICT.search(text)) and not _OR_EQUAL.search(text)
    if not first.closed:  # "<= 30 mpg" has a lower end in l/100 km: as it was read
        ends = (first.low, first.high)
        return Limit(*ends, strict and isfinite(first.low), strict and isfinite(first.high),
                     first.dimension, first.unit, text)  # fmt: skip
    if first.low != first.high:
        return Limit(first.low, first.high, False, False, first.dimension, first.unit, text)
    at_most, at_least = bool(_AT_MOST.search(text)), bool(_AT_LEAST.search(text))
    if _ABOUT.search(text) or at_most == at_least:
        return None  # nothing says on which side of it things are right
    low, high = (-inf, first.high) if at_most else (first.low, inf)
    return Limit(
        low, high, strict and at_least, strict and at_most, first.dimension, first.unit, text
    )


def _both(one: Quantity, other: Quantity, text: str) -> Limit | None:
    """Two ends given apart: "min 0.35 mm, max 0.65 mm", ">= 1 bar and <= 3 bar"."""
    cut = other.start
    low, high = read_limit(text[:cut]), read_limit(text[cut:] if other.start else text)
    halves = [half for half in (low, high) if half is not None]
    if len(halves) != 2 or one.dimension != other.dimension:
        return None
    ends = [max(h.low for h in halves), min(h.high for h in halves)]
    if not all(map(isfinite, ends)) or ends[0] > ends[1]:
        return None
    return Limit(ends[0], ends[1], False, False, one.dimension, one.unit, text)


def judge(value: str, limit: str, check: str = "") -> Verdict:
    """Return whether `value` keeps to `limit`, both as written; "none" where it cannot be told.

    Units are converted. A value at the limit keeps to it, unless the limit is strict ("< 2"). Of a
    range, or of several values, each must keep to it. A value or a limit without a unit, or of two
    kinds, is not judged.
    """
    wanted = read_limit(limit, check)
    found = read_values(_each_with_unit(value), check)
    if wanted is None or not found:
        return "none"
    if any(q.dimension != wanted.dimension for q in found):
        found, wanted = _alike(found, wanted)
        if not found:
            return "none"
    verdicts = {_of(quantity, wanted) for quantity in found}
    if "beyond" in verdicts:
        return "beyond"
    return "within" if verdicts == {"within"} else "none"


_LISTED = re.compile(r"\s*([\d.]+(?:\s*(?:,|;|/|and)\s*[\d.]+)+)\s*([^\d\s].*)", re.S)


def _each_with_unit(value: str) -> str:
    """`174, 172 and 168 psi` with the unit behind each of its numbers."""
    listed = _LISTED.fullmatch(value)
    if listed is None:
        return value
    return ", ".join(f"{number} {listed[2]}" for number in re.findall(r"[\d.]*\d", listed[1]))


def _alike(found: list[Quantity], wanted: Limit) -> tuple[list[Quantity], Limit]:
    """Read a temperature as a difference where the other is one; nothing where kinds differ."""
    kinds = {q.dimension for q in found} | {wanted.dimension}
    if kinds == {_ABSOLUTE, _RELATIVE} and wanted.dimension == _RELATIVE:
        return [_difference(q) if q.dimension == _ABSOLUTE else q for q in found], wanted
    return [], wanted


def _of(quantity: Quantity, limit: Limit) -> Verdict:
    low, high = quantity.low, quantity.high
    too_low = _below(low, limit.low, limit.low_open) if isfinite(low) else None
    too_high = _below(-high, -limit.high, limit.high_open) if isfinite(high) else None
    if too_low or too_high:
        return "beyond"
    # "over 3 bar" has no upper end, but is beyond 2 bar by its lower one
    if _below(-low, -limit.high, False) or _below(high, limit.low, False):
        return "beyond"
    if too_low is None and isfinite(limit.low):
        return "none"
    if too_high is None and isfinite(limit.high):
        return "none"
    return "within"


def _below(value: float, end: float, is_open: bool) -> bool:
    """Say whether `value` is short of a lower `end`."""
    if not (isfinite(value) and isfinite(end)):
        return False
    close = abs(value - end) <= SLACK * max(abs(value), abs(end))
    return is_open if close else value < end


_ABSOLUTE, _RELATIVE = "temperature", "temperature difference"
_ZERO = {"C": 0.0, "F": -160 / 9}
"""What 0 of a unit is in degrees Celsius."""


def read_values(text: str, about: str = "") -> list[Quantity]:
    """Return the measured values of `text`, temperatures as differences where they are some.

    `about` is the check's name. Kelvins are written for differences only; the reader of quantities
    takes "5 K" for five thousand.
    """
    plain = _KELVIN.sub(" C", text)
    difference = plain != text or _DIFFERENCE.search(f"{about} {text}") is not None
    return [
        _difference(q) if difference and q.dimension == _ABSOLUTE else q
        for q in read_quantities(plain)
    ]


def _difference(quantity: Quantity) -> Quantity:
    """A temperature as the difference of two: the offset of its scale taken off again."""
    zero = _ZERO.get(quantity.unit, 0.0)
    return Quantity(
        _RELATIVE, quantity.low - zero, quantity.high - zero, quantity.unit, quantity.text,
        quantity.start, quantity.end, quantity.step, quantity.said,
    )  # fmt: skip
