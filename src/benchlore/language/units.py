"""Units of conditions and their factors to one base unit an axis.

Factors: NIST Special Publication 811 (2008), Appendix B.8: mile 1.609 344 km, yard 0.9144 m,
minute 60 s, hour 3600 s, day 86 400 s; B.8 and B.9 for degree Fahrenheit: t/C = (t/F - 32) / 1.8.
Base units: rpm, km/h, deg C, s, km.
"""

from __future__ import annotations

MILE_KM = 1.609344
YARD_KM = 0.0009144

_SPEED = {"mph": ("mph", MILE_KM), "km/h": ("", 1.0)}
_TIME = {"s": 1.0, "min": 60.0, "h": 3600.0, "day": 86_400.0, "week": 604_800.0}
_DISTANCE = {"miles": MILE_KM, "km": 1.0, "yards": YARD_KM, "m": 0.001}

SPELLINGS: dict[str, tuple[str, str]] = {}
"""Spelling of a unit (words joined by a space) -> kind and head spelling."""


def _spell(kind: str, head: str, spellings: str) -> None:
    for spelling in spellings.split("|"):
        SPELLINGS[spelling] = (kind, head)


_spell("rpm", "rpm", "rpm|revs|rev/min|r/min|rev min|revs per minute|rpms|rev|revolutions|r p m")
_spell("thousand", "k", "k|grand|thou revs|thousand")
_spell("rpm thousand", "k", "k rpm|k revs|thousand rpm|thousand revs|grand revs")
_spell("speed", "mph", "mph|miles per hour|miles an hour|mi/h|m/p/h|miles/h|mile an hour")
_spell("speed", "km/h", "km/h|kmh|kph|kmph|km h|k/h|k/p/h|clicks an hour|kilometres per hour")
_spell("speed", "km/h", "kilometers per hour|km/hr|km per hour|kms/h|kmhr")
_spell("temp", "C", "c|deg c|degrees c|celsius|degrees celsius|degc|centigrade|degrees centigrade")
_spell("temp", "F", "f|deg f|degrees f|fahrenheit|degrees fahrenheit|degf")
_spell("temp", "C", "deg|degrees|degree")
_spell("time", "s", "s|sec|secs|second|seconds")
_spell("time", "min", "min|mins|minute|minutes|minits")
_spell("time", "h", "h|hr|hrs|hour|hours")
_spell("time", "day", "day|days")
_spell("time", "week", "week|weeks")
_spell("distance", "miles", "mile|miles|mi")
_spell("distance", "km", "km|kms|kilometre|kilometres|kilometer|kilometers|k miles")
_spell("distance", "yards", "yard|yards|yds")
_spell("distance", "m", "metres|meters|metre|meter")
_spell("other", "", "psi|bar|mbar|kpa|mpa|v|mv|kv|volt|volts|a|ma|amp|amps|ah|w|kw|watt|watts|hp")
_spell("other", "", "ps|bhp|mm|cm|inch|inches|thou|um|micron|microns|mil|nm|ft lb|lb ft|lbft|ftlb")
_spell("other", "", "lb|lbs|kg|g|t|ton|tons|tonne|tonnes|l|ml|cc|litre|litres|liter|liters|pint")
_spell("other", "", "pints|gallon|gallons|gal|qt|quart|quarts|hz|khz|ohm|ohms|kohm|k ohm|megohm|r")
_spell("other", "", "percent|%|months|month|years|year|yrs|ppm|inhg|mpg|x|pc|teeth|ft|feet|pounds")
_spell("other", "", "quid|pm|am|cyl|cylinder|cylinders|pot|valve|door|times")
_spell("clicks", "", "clicks|klicks|kays")
_spell("other", "", "v ac|v dc|ltr|ltrs|miles a day|people|passengers|ad|blade|stud|litres a day")

LONGEST = max(spelling.count(" ") for spelling in SPELLINGS) + 1


def speed_kmh(value: float, head: str) -> float:
    """Return a road speed in km/h; `head` is "mph" or "km/h"."""
    return value * _SPEED[head][1]


def celsius(value: float, head: str) -> float:
    """Return a temperature in deg C; `head` is "C" or "F"."""
    return (value - 32.0) / 1.8 if head == "F" else value


def seconds(value: float, head: str) -> float:
    """Return a time in seconds; `head` is "s", "min", "h", "day" or "week"."""
    return value * _TIME[head]


def kilometres(value: float, head: str) -> float:
    """Return a distance in kilometres; `head` is "miles", "km", "yards" or "m"."""
    return value * _DISTANCE[head]
