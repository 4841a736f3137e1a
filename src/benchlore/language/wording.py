"""Readings in words for the screen: "above 50 km/h; not when turning right"."""

from __future__ import annotations

from collections.abc import Iterable

from benchlore.language.conditions import Reading
from benchlore.language.spans import is_range

_NAMES = {
    "temp": {
        "cold": "cold",
        "warming": "warming up",
        "hot": "hot",
        "overheated": "overheated",
    },
    "rpm": {
        "off": "engine off",
        "cranking": "cranking",
        "idle": "at idle",
        "low": "at low revs",
        "mid": "at middling revs",
        "high": "at high revs",
        "blip": "when revved",
    },
    "load": {
        "standing": "standing",
        "pull-away": "pulling away",
        "accelerating": "accelerating",
        "full": "at full throttle",
        "light": "on light throttle",
        "steady": "at a steady speed",
        "neutral-roll": "rolling in neutral",
        "overrun": "on the overrun",
        "braking": "braking",
        "uphill": "uphill",
        "downhill": "downhill",
        "flat": "on the level",
        "laden": "laden",
        "towing": "towing",
        "unladen": "unladen",
    },
    "speed": {
        "stationary": "stationary",
        "crawl": "at walking pace",
        "low": "at low speed",
        "mid": "at middling speed",
        "high": "at high speed",
    },
    "history": {
        "overnight": "after a night standing",
        "stood": "after standing",
        "laid-up": "after a long lay-up",
        "short-trips": "on short trips",
        "heat-soak": "on a hot restart",
        "long-run": "after a long run",
        "first-use": "in the first miles",
        "after-repair": "since a repair",
        "after-tyres": "since new tyres",
        "after-battery": "since the battery was off",
        "after-impact": "since an impact",
        "after-refuel": "after refuelling",
        "after-wash": "after a wash",
    },
    "steer": {
        "straight": "straight ahead",
        "left": "turning left",
        "right": "turning right",
        "turning": "turning",
        "full-lock": "on full lock",
        "moving": "moving the wheel",
    },
    "road": {
        "smooth": "on smooth roads",
        "rough": "on rough roads",
        "bump": "over bumps",
        "loose": "on loose ground",
        "camber": "on a camber",
        "wet": "on wet roads",
    },
    "gear": {
        "top": "in top",
        "neutral": "in neutral",
        "park": "in park",
        "drive": "in drive",
        "reverse": "in reverse",
        "clutch-down": "clutch down",
        "clutch-up": "clutch up",
        "bite": "at the biting point",
        "upshift": "changing up",
        "downshift": "changing down",
        "engaging": "selecting a gear",
        "lockup": "with lock-up",
        "4wd": "in 4wd",
    },
    "weather": {
        "cold-day": "in cold weather",
        "frost": "in frost",
        "snow": "in snow",
        "hot-day": "in hot weather",
        "wet-day": "in the wet",
        "dry-day": "in the dry",
        "altitude": "at altitude",
    },
    "consumers": {
        "ac-on": "A/C on",
        "ac-off": "A/C off",
        "lights-on": "lights on",
        "lights-off": "lights off",
        "screen-on": "heated screen on",
        "blower-on": "blower on",
        "all-loads-on": "all consumers on",
        "steering-load": "steering loaded",
        "pto-on": "PTO on",
        "charging": "on charge",
    },
    "course": {
        "sudden": "came suddenly",
        "gradual": "came gradually",
        "constant": "all the time",
        "intermittent": "now and then",
        "first-seconds": "in the first seconds",
        "momentary": "for a moment",
        "worsening": "getting worse",
        "once": "once only",
        "periodic": "in a rhythm",
        "random": "without a pattern",
        "tracks-rpm": "follows the revs",
        "tracks-speed": "follows road speed",
    },
    "place": {
        "front": "at the front",
        "rear": "at the rear",
        "centre": "in the middle",
        "left": "on the left",
        "right": "on the right",
        "underbonnet": "under the bonnet",
        "under": "underneath",
        "inside": "inside",
        "top-end": "top end",
        "bottom-end": "bottom end",
        "bank-1": "bank 1",
        "bank-2": "bank 2",
    },
}

_ANY = {
    "temp": "hot or cold alike",
    "rpm": "at any revs",
    "load": "whatever the load",
    "speed": "at any speed",
    "history": "whatever went before",
    "steer": "whatever the steering",
    "road": "on any road",
    "gear": "in any gear",
    "weather": "in any weather",
    "consumers": "whatever is switched on",
    "course": "always alike",
    "place": "everywhere",
}

_SIGNS = (("<=", "up to"), (">=", "from"), ("<", "below"), (">", "above"))
_UNITS = {"rpm": "rpm", "speed": "km/h", "temp": "C", "weather": "C"}
_WHEN = frozenset(
    ["turning", "moving", "braking", "accelerating", "pulling", "rolling", "changing", "selecting"]
)


def phrase(reading: Reading) -> str:
    """Return one condition in words, without its polarity."""
    if reading.value == "any":
        return _ANY.get(reading.axis, "always alike")
    if reading.axis == "gear" and reading.value.isdigit():
        return f"in gear {reading.value}"
    if reading.value.startswith("cylinder-"):
        return reading.value.replace("-", " ")
    if is_range(reading.value) and reading.axis != "gear":
        return _range(reading)
    return _NAMES.get(reading.axis, {}).get(reading.value, reading.value.replace("-", " "))


def _range(reading: Reading) -> str:
    number, _, unit = reading.value.partition(" ")
    unit = unit or _UNITS.get(reading.axis, "")
    lead = "after" if reading.axis == "history" else "at"
    for sign, words in _SIGNS:
        if number.startswith(sign):
            after = reading.axis == "history" and sign.startswith(">")
            lead, number = ("after" if after else words), number[len(sign) :]
            break
    return f"{lead} {number.replace('..', ' to ')} {unit}".rstrip()


def in_words(readings: Iterable[Reading]) -> str:
    """Return readings as one line for the screen, one phrase a condition, `;` between them."""
    parts = []
    for reading in readings:
        words = phrase(reading)
        if reading.polarity == "absent":
            when = "when " if words.split()[0] in _WHEN else ""
            words = f"not {when}{words}"
        parts.append(f"{words} ({reading.grade})" if reading.grade else words)
    return "; ".join(parts)
