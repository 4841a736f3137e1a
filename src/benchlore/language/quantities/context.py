"""Spellings that are a unit only among the right words: `in`, `A`, `pounds`, `deg`, `16v`.

The words are common practice of the trade, no source. Each rule returns the unit meant, or None
where the letter or word is none.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise
from typing import NamedTuple

from benchlore.language.quantities import units as units
from benchlore.language.quantities.scan import Number
from benchlore.language.quantities.units import Unit


class Place(NamedTuple):
    """A number with what may be its unit.

    Attributes:
        start, end: of the spelling of the unit in `text`.
        number: the number right before it (the last one of a range).
    """

    text: str
    start: int
    end: int
    number: Number

    @property
    def attached(self) -> bool:
        """Say whether the unit follows its number without a space."""
        return self.start == self.number.end

    @property
    def raw(self) -> str:
        """Return the unit as written."""
        return self.text[self.start : self.end]

    def before(self, size: int) -> str:
        """Return up to `size` characters before the number, from its sentence, in lower case."""
        return re.sub(
            _LAST_STOP, "", self.text[max(0, self.number.start - size) : self.number.start]
        )

    def after(self, size: int) -> str:
        """Return up to `size` characters after the unit."""
        return self.text[self.end : self.end + size]

    def around(self, size: int) -> str:
        """Return what stands on both sides within the sentence, in lower case."""
        return (
            f"{self.before(size)} {re.split(_FIRST_STOP, self.after(size), maxsplit=1)[0]}".lower()
        )


# Kept as text: a query meets one or two of these, and `re` keeps what it has compiled.
_LAST_STOP = r"(?s)^.*(?:[.!?]\s|[;\n])"
_FIRST_STOP = r"[.!?](?:\s|$)|[;\n]"
_TYRE_SIZE = r"[rR]\s?-?\d\d(?:\.5)?[cC]?\s+(?:\d{2,3}/)?$"
_LETTER_GOES_ON = r"['\N{RIGHT SINGLE QUOTATION MARK}./-][^\W\d_]|/|\s(?:pillar|post)\b"
_IN_FOLLOWS = r"""(?x)\s*(?:$|[.,;:)\]]|\n)(?!.{0,30}\bout\b)
      |\s(?:long|wide|deep|thick|high|tall|dia|diameter|bore|across|of|off|below|above|over|under
      |up|down|from|play|slack|travel|lift|gap|clearance|runout|tread|hose|pipe|bolt|socket|disc
      |hole|drum|wheel|tyre|rim|at|per|to|or|more|max|min|short|apart|backlash|end|free)\b"""
_AFTER_AMPERE_WORDS = "MAX MIN DC AC RMS ON OFF AT WITH DRAW FUSE OK LIMIT HOT COLD"
_AFTER_AMPERE = frozenset(_AFTER_AMPERE_WORDS.split())
_NOT_THOU = r"\s*(?:on\s(?:the\sclock|it)|quid|a\syear|pounds?\b|up\b|of\sthem|hours?\b|clicks?\b)"
_PRESSURE = (
    r"\b(?:boost\w*|(?:over)?pressures?|tyres?|tires?|compressions?|inflat\w+|deflat\w+|pumped"
    r"|caps?)\b"
)
_WEIGHT = r"\b(?:weigh\w*|heavy|heavier|loads?|laden|sacks?|of force|ballast|towing)\b"
_ANGLE = (
    r"\b(?:angles?|camber|cast[eo]r|lock|toe|advanced?|retard\w*|timing|[ab]?tdc|crank|turn\w*|dwell"
    r"|slope\w*|tilt\w*|lean\w*|joints?|ramps?|incline\w*|inclination|cams?|ignition|steer\w*"
    r"|rotat\w*|off centre|off center|out of true)\b"
)
_HEAT = (
    r"\b(?:temp\w*|hot\w*|cold\w*|warm\w*|coolant|oil|thermostat|weather|outside|ambient|freez\w*"
    r"|frost\w*|heat\w*|cool\w*|boil\w*|vents?|infrared|air|water|degrees? in the shade|outlet)\b"
)
_APART = (
    r"\s*(?:of\s)?(?:differen\w+|drop\b|rise\b|apart|between\b|hotter|colder|cooler|warmer|higher"
    r"|lower|spread|across\b|split"
    r"|(?:over|above|below|more than|less than)\sthe\s(?:others?|rest)\b)"
)
_BY = (
    r"(?:differ\w*|drops?|rises?|spread|fall|split|gap)\s(?:of|is|was|between\b[^,.]{0,20})\s*(?:about\s)?$"
    r"|\b(?:by|within)\s(?:about\s)?$"
)

_PLUMBING = r"\s(?:pumps?|hoses?|fluid|belt|rack|lines?|pipes?|rail|side|switch|sensor)\b"


def _letter(place: Place, unit: Unit) -> Unit | None:
    """A single letter: in the right case, no year before it, nothing that carries the word on."""
    raw, number = place.raw, place.number
    if re.match(_LETTER_GOES_ON, place.after(8)) or number.kind == "word":
        return None
    if raw != unit.head and raw.upper() not in ("C", "F", "V", "W", "A"):
        return None
    if number.kind == "fraction" and unit.head not in ("t", "h", "l"):
        return None
    if number.kind == "whole" and not place.attached and unit.head not in ("h", "N"):
        digits = place.text[number.start : number.end]
        if 1950 <= number.value < 2050 or (len(digits) > 4 and digits.isdigit()):
            return None  # a year or a part's number
    rated = raw.isupper() and re.search(_TYRE_SIZE, place.before(12))
    return None if rated else unit  # 195/65 R15 91V: a tyre's load and speed


def _attached(place: Place, unit: Unit) -> Unit | None:
    return unit if place.attached else None


def _ampere(place: Place, unit: Unit) -> Unit | None:
    raw = place.raw
    if raw == "a" and not place.attached:
        return None  # "from 50 a hum": the article
    capital = re.match(r"\s([A-Z]{2,})\b", place.after(12))
    if capital and not place.attached and capital[1] not in _AFTER_AMPERE:
        return None  # "AT 60 A HUM": the article again
    return _letter(place, unit)


def _volt(place: Place, unit: Unit) -> Unit | None:
    valves = place.number.value in (8, 12, 16, 20, 24, 32) and place.raw == "v"
    if valves and re.search(r"\d\.\d\s?(?:l|litre)?\s?$", place.before(10)):
        return None  # "1.6 16v"
    if not place.attached and place.raw == "v" and re.match(r"\s\d", place.after(2)):
        return None  # "2 v 1"
    return _letter(place, unit)


def _watt(place: Place, unit: Unit) -> Unit | None:
    if re.match(r"[-/]\d|/|(?:\s\w+)?\soil", place.after(16)):
        return None  # an oil's grade
    return _letter(place, unit)


def _hour(place: Place, unit: Unit) -> Unit | None:
    return None if place.raw == "H" else _letter(place, unit)  # "4H": the high range


def _litre(place: Place, unit: Unit) -> Unit | None:
    low_range = place.raw == "L" and place.attached and place.number.value in (2, 4)
    if low_range and place.number.kind == "whole" and not place.after(4).startswith(" of"):
        return None
    return _letter(place, unit._replace(head=place.raw)) and unit


def _second(place: Place, unit: Unit) -> Unit | None:
    if place.number.kind == "whole" and place.attached:
        decade = place.number.value % 10 == 0 and re.search(
            r"\b(?:the|late|early|mid|high|low)[\s-](?:\d0s\s(?:and|or|to)\s)?$", place.before(16)
        )
        if decade or place.number.value >= 1900:
            return None
    return _letter(place, unit)


def _seconds(place: Place, unit: Unit) -> Unit | None:
    other = re.match(r"\s(?:gear|hand|time|one|stage|owner|clutch)\b", place.after(8))
    return None if other and place.raw == "second" else unit


def _inch(place: Place, unit: Unit) -> Unit | None:
    if place.number.kind == "word" or place.raw != place.raw.lower():
        return None
    after = place.after(40)
    if re.match(r"['\N{RIGHT SINGLE QUOTATION MARK}/-]", after):
        return None
    return unit if re.match(_IN_FOLLOWS, after) else None


def _inch_mark(place: Place, unit: Unit) -> Unit | None:
    """A quotation mark, unless one is open on the line: then it closes that."""
    if not place.attached:
        return None
    if place.raw == "\N{DOUBLE PRIME}":
        return unit
    line = place.text[place.text.rfind("\n", 0, place.number.start) + 1 : place.number.start]
    curly = line.count("\N{LEFT DOUBLE QUOTATION MARK}") - line.count(place.raw)
    if place.raw == "\N{RIGHT DOUBLE QUOTATION MARK}":
        return unit if curly <= 0 else None
    opened = sum(mark == '"' and not last.isnumeric() for last, mark in pairwise(f" {line}"))
    return unit if opened % 2 == 0 else None


def _thou(place: Place, unit: Unit) -> Unit | None:
    return None if re.match(_NOT_THOU, place.after(16)) else unit


def _bar(place: Place, unit: Unit) -> Unit | None:
    return None if re.match(r"[\s-](?:link\w*|gate|of soap|stool)\b", place.after(10)) else unit


def _bars(place: Place, unit: Unit) -> Unit | None:
    return unit if place.number.kind != "whole" or re.search(_PRESSURE, place.around(30)) else None


def _pounds(place: Place, unit: Unit) -> Unit | None:
    """Pressure where the words say so; a weight; else money, which is no quantity."""
    around = place.around(30)
    if "torque" in around:
        return units.POUND_FEET  # "torqued to 80 lb"
    if re.search(_WEIGHT, around):
        return unit
    if re.search(_PRESSURE, around):
        return units.PSI
    return unit if unit.careful == "lb" else None


def _degrees(place: Place, unit: Unit) -> Unit | None:
    """An angle, unless words of heat and none of angles stand with it."""
    around = place.around(40)
    return units.CELSIUS if re.search(_HEAT, around) and not re.search(_ANGLE, around) else unit


def _pound_inches(place: Place, unit: Unit) -> Unit | None:
    """Not "30 lb in the tyres"."""
    return unit if re.match(r"\s*(?:$|[.,;:)])", place.after(4)) or "-" in place.raw else None


def _foot(place: Place, unit: Unit) -> Unit | None:
    return None if place.number.kind == "word" else unit  # "one foot on the brake"


def _assist(place: Place, unit: Unit) -> Unit | None:
    """Power, not "1 HP pump" (high pressure) or "2 PS hoses" (power steering)."""
    return None if re.match(_PLUMBING, place.after(12)) else unit


def _litres_an_hour(place: Place, unit: Unit) -> Unit | None:
    """L/h, not "l/h kick panel" (left hand)."""
    if place.number.kind == "decimal" or place.raw.startswith("L"):
        return unit
    return unit if re.match(r"\s*(?:$|[.,;:)])", place.after(4)) else None


_RULES: dict[str, Callable[[Place, Unit], Unit | None]] = {
    "letter": _letter,
    "attached": _attached,
    "a": _ampere,
    "v": _volt,
    "w": _watt,
    "h": _hour,
    "l": _litre,
    "s": _second,
    "second": _seconds,
    "in": _inch,
    "inchmark": _inch_mark,
    "thou": _thou,
    "bar": _bar,
    "bars": _bars,
    "lb": _pounds,
    "pounds": _pounds,
    "deg": _degrees,
    "lb in": _pound_inches,
    "foot": _foot,
    "assist": _assist,
    "l/h": _litres_an_hour,
}


def meant(place: Place, unit: Unit) -> Unit | None:
    """Return the unit that `unit`'s spelling means at `place`; None where it is no unit there."""
    if unit.careful:
        found = _RULES[unit.careful](place, unit)
        if found is None:
            return None
        unit = found
    if unit.dimension == "temperature" and (
        re.match(_APART, place.after(24)) or re.search(_BY, place.before(36).lower())
    ):
        return units.DIFFERENCE[unit.head]
    return unit
