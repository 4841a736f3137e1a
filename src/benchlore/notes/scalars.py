"""What a written text means: dates, numbers, yes or no. Nothing here raises."""

from __future__ import annotations

import datetime
import re

_ISO = re.compile(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})")
_DAY_FIRST = re.compile(r"([0-9]{1,2})([./])([0-9]{1,2})\2([0-9]{4})")
_NUMBER = re.compile(r"[+-]?(?:[0-9]{1,3}(?:,[0-9]{3})+|[0-9]{1,15})(?:\.[0-9]{1,15})?")
_MINUTES = re.compile(r"([0-9.,]+)\s*(min|mins|minute|minutes|m|h|hr|hrs|hour|hours)?\.?")
_CLOCK = re.compile(r"([0-9]{1,2}):([0-5][0-9])")

_YES = {"yes", "y", "true", "on", "ok", "1"}
_NO = {"no", "n", "false", "off", "0", "not ok"}
_LARGEST = 1e12


def read_date(text: str) -> datetime.date | None:
    """The day meant by `2025-05-14`, `2025-5-4`, `14.05.2025` or `14/05/2025` (day first)."""
    text = text.strip()
    iso = _ISO.fullmatch(text)
    day_first = _DAY_FIRST.fullmatch(text)
    if iso:
        year, month, day = iso.group(1, 2, 3)
    elif day_first:
        day, month, year = day_first.group(1, 3, 4)
    else:
        return None
    try:
        return datetime.date(int(year), int(month), int(day))
    except ValueError:
        return None


def read_yes_no(text: str) -> bool | None:
    """True for yes, y, true, on, ok, 1; False for no, n, false, off, 0, not ok; else None."""
    word = text.strip().casefold()
    return True if word in _YES else False if word in _NO else None


def read_number(text: str) -> float | None:
    """The number meant by `85`, `1,250.50` or `2.2`; no units, no exponents, below 1e12."""
    text = text.strip()
    if not _NUMBER.fullmatch(text):
        return None
    number = float(text.replace(",", ""))
    return number if abs(number) < _LARGEST else None


def read_minutes(text: str) -> float | None:
    """Minutes meant by `25`, `25 min`, `1.5 h` or `1:30` (hours and minutes); None below zero."""
    text = text.strip().casefold()
    clock = _CLOCK.fullmatch(text)
    if clock:
        return int(clock[1]) * 60.0 + int(clock[2])
    found = _MINUTES.fullmatch(text)
    number = read_number(found[1]) if found else None
    if found is None or number is None:
        return None
    return number * 60 if (found[2] or "").startswith("h") else number
