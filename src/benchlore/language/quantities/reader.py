"""Numbers, units and the words around them to quantities."""

from __future__ import annotations

import re

from benchlore.language.quantities import scan as scan
from benchlore.language.quantities import units as units
from benchlore.language.quantities.match import unit_at
from benchlore.language.quantities.model import Quantity
from benchlore.language.quantities.scan import Number
from benchlore.language.quantities.signs import beside_measurement, sign_after, sign_before
from benchlore.language.quantities.units import Unit

_THREAD = r"(?<![^\W_])M\d\d?(?:\.\d)?\s?[xX\N{MULTIPLICATION SIGN}]\s?$"
_THREAD_NAME = r"(?i:\s?(?:UN[CFS]|BSPT?|BSF|BSW|NPTF?|JIC)\b)"
_GRAVITY = r"(?i:\b(?:SG|S\.G\.|specific gravity)[\s:=]*(?:of|is|was|at)?\s*$)"
_GRAVITIES = (0.9, 1.5)
_PLUS_MINUS = r"(?i:(?:\N{PLUS-MINUS SIGN}|\+\s?/?\s?-|plus or minus)\s*$)"
_ENDS = ("-", "s", "\N{PLUS-MINUS SIGN}")
"""Last characters of the above."""

_BETWEEN = r"(?i:\bbetween\s(?:about\s)?$)"
_FALLS = 10.0
"""A falling range whose first number has no unit of its own falls no further than to a tenth."""

Found = tuple[Unit, int] | None
"""A unit and where its spelling ends."""


def read(text: str) -> tuple[Quantity, ...]:
    """Return the measured values of `text` in order; they do not overlap."""
    found: list[Quantity] = []
    place = 0
    for number in scan.numbers(text):
        signed = _signed(text, number) if number.start >= place else None
        if signed is None:
            continue
        previous = found[-1].end if found else 0
        quantity, place = _at(text, signed, previous)
        if quantity is not None:
            found.append(quantity)
    return tuple(found)


def _signed(text: str, number: Number) -> Number | None:
    """Read what stands right before a number; None where it is part of a code or a size."""
    start = number.start
    last = text[max(0, start - 1) : start]
    if last in ("-", "\N{MINUS SIGN}", "\N{EN DASH}"):
        earlier = text[max(0, start - 2) : start - 1]
        if earlier.isalnum() or earlier == last:
            return None  # "HD-22"; the second number of what is no range
        dash = last == "\N{EN DASH}" or earlier in ("/", "+")  # punctuation, "+/-"
        return number if dash else _minus(number, 1)
    if last == " " and text[max(0, start - 6) : start].lower() == "minus ":
        tolerance = text[max(0, start - 14) : start].lower() == "plus or minus "
        return number if tolerance else _minus(number, 6)
    if text[max(0, start - 2) : start].rstrip()[-1:] in ("x", "X", "\N{MULTIPLICATION SIGN}"):
        return None if re.search(_THREAD, text[max(0, start - 12) : start]) else number
    return number


def _minus(number: Number, size: int) -> Number:
    return number._replace(value=-number.value, start=number.start - size)


def _at(text: str, number: Number, previous: int) -> tuple[Quantity | None, int]:
    """Return the quantity that starts with `number`, and where reading goes on."""
    unit = _unit(text, number)
    after = unit[1] if unit else number.end
    join = scan.join(text, after)
    second = scan.at(text, join.end()) if join else None
    if join and second:
        behind = _unit(text, second) or (unit if unit and unit[0] is units.SG else None)
        both = _pair(text, number, unit, join, second, behind)
        if both is not None:
            return both, both.end
        if join["dash"] and not unit and len(join["dash"]) == 1:
            return None, second.end  # "2021-1023", "90915-10003"
    if unit is None:
        if number.kind in ("decimal", "fraction") and beside_measurement(text, number):
            return _made(text, None, (number, number), number.start, number.end), number.end
        return None, number.end
    return _single(text, number, unit, previous), after


def _unit(text: str, number: Number) -> Found:
    found = unit_at(text, number)
    if found is None:
        gravity = number.kind == "decimal" and _GRAVITIES[0] < number.value < _GRAVITIES[1]
        if gravity and re.search(_GRAVITY, text[max(0, number.start - 24) : number.start]):
            return units.SG, number.end
    elif found[0].head == "in" and re.match(_THREAD_NAME, text[found[1] : found[1] + 6]):
        return None
    return found


def _pair(
    text: str, first: Number, unit: Found, join: re.Match[str], second: Number, behind: Found
) -> Quantity | None:
    """Return the range that two numbers make, or the one that a tolerance makes of a value."""
    if unit and behind and unit[0].head == "deg" and behind[0].dimension == "temperature":
        unit = behind  # "85 deg to 105 deg C"
    if join["pm"]:
        one = unit or behind
        if one is None or (unit and behind and unit[0] != behind[0]):
            return None
        low = first._replace(value=first.value - second.value)
        high = first._replace(value=first.value + second.value)
        end = behind[1] if behind else second.end
        return _made(text, (one[0], one[0]), (low, high), first.start, end)
    if behind is None:
        if unit is None and first.kind == second.kind == "decimal" and first.value < second.value:
            beside = beside_measurement(text, second) or beside_measurement(text, first)
            if beside and not join["to"]:
                return _made(text, None, (first, second), first.start, second.end)
        return None
    if unit and unit[0].dimension != behind[0].dimension:
        return None
    rises = second.value > first.value
    word = (join["to"] or "").lower()
    if word == "and" and not re.search(_BETWEEN, text[max(0, first.start - 16) : first.start]):
        return None
    if (word == "or" or (join["dash"] and not unit)) and not rises:
        return None
    if not unit and abs(first.value) > _FALLS * abs(second.value) > 0:
        return None  # "the drop at 2500 to 2.3 kPa"
    one = unit or behind
    return _made(text, (one[0], behind[0]), (first, second), first.start, behind[1])


def _single(text: str, number: Number, found: tuple[Unit, int], previous: int) -> Quantity:
    unit, end = found
    before = text[max(previous, number.start - 16) : number.start]
    tolerance = re.search(_PLUS_MINUS, before) if before.rstrip()[-1:] in _ENDS else None
    if tolerance:
        low = number._replace(value=-number.value)
        start = number.start - len(before) + tolerance.start()
        return _made(text, (unit, unit), (low, number), start, end)
    sign, start = sign_before(text, number.start, previous)
    if not sign:
        sign, end = sign_after(text, end)
    return _made(text, (unit, unit), (number, number), start, end, sign)


def _made(
    text: str,
    pair: tuple[Unit, Unit] | None,
    numbers: tuple[Number, Number],
    start: int,
    end: int,
    sign: str = "",
) -> Quantity:
    """Return the quantity of two numbers (twice the same for one value) in their units."""
    said = tuple(number.value for number in numbers)
    if pair is None:
        return Quantity(
            "", min(said), max(said), "", text[start:end], start, end, 0.0, (said[0], said[1])
        )
    unit = pair[1]
    low, high = pair[0].base(said[0]), unit.base(said[1])
    step = max(
        abs(pair[0].base(said[0] + numbers[0].step) - low),
        abs(unit.base(said[1] + numbers[1].step) - high),
    )
    if low > high:
        low, high = high, low
    if sign:
        upward = (sign == ">") != unit.inverse
        low, high = (low, float("inf")) if upward else (float("-inf"), high)
    written = (said[0], said[1]) if pair[0] == unit else None
    return Quantity(
        unit.dimension, low, high, unit.head, text[start:end], start, end, step, written
    )
