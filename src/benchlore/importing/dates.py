"""Dates as other programs write them. Day and month are never guessed apart."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass

ORDERS = {"day-month-year": "dmy", "month-day-year": "mdy", "year-month-day": "ymd"}

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_TIME = (
    r"(?:[T ,]+(?P<time>\d{1,2}[:.]\d{2}(?:[:.]\d{2})?(?:[.,]\d+)?"
    r"(?: ?[ap]m)?(?:Z|[+-]\d\d:?\d\d)?))?"
)
_YEAR_FIRST = re.compile(rf"(?P<y>\d{{4}})([-/.])(?P<m>\d{{1,2}})\2(?P<d>\d{{1,2}}){_TIME}", re.I)
_SOLID = re.compile(r"(?P<y>\d{4})(?P<m>\d{2})(?P<d>\d{2})(?P<time>)")
_NAMED = (
    re.compile(
        rf"(?P<d>\d{{1,2}})[-. /]+(?P<m>[a-z]{{3,9}})\.?[-., /]+(?P<y>\d{{4}}|\d\d){_TIME}", re.I
    ),
    re.compile(
        rf"(?P<m>[a-z]{{3,9}})\.?[-. /]+(?P<d>\d{{1,2}})[-., /]+(?P<y>\d{{4}}|\d\d){_TIME}", re.I
    ),
)
_NUMBERS = re.compile(rf"(\d{{1,2}})([-/. ])(\d{{1,2}})\2(\d{{4}}|\d\d){_TIME}", re.I)
_NO_TIME = re.compile(r"[0:.,Z+ -]*")


@dataclass(frozen=True, slots=True)
class Day:
    """A date in ISO 8601 form; `whole` is False where a time of day stood behind it."""

    iso: str
    whole: bool = True


class OrderUnknown(ValueError):
    """Three numbers, and nobody said which is the day.

    Attributes:
        fits: those of `ORDERS` that make a date of them.
    """

    def __init__(self, text: str) -> None:
        super().__init__(text)
        found = _NUMBERS.fullmatch(text.strip())
        self.fits = tuple(name for name, order in ORDERS.items() if found and _day(found, order))


def read_day(text: str, order: str = "", formats: tuple[str, ...] = ()) -> Day | None:
    """The day that `text` means; None where it is no date.

    Read as it stands: `2025-05-14`, `2025/5/14`, `20250514`, and months by their English names.
    Two figures of a year mean 1969 to 2068, as POSIX `strptime` has it.

    Args:
        text: a cell.
        order: one of `ORDERS`; needed where all three are numbers and the year is not first.
        formats: further ways to write a date, as Python's `strptime` takes them; tried first.

    Raises:
        OrderUnknown: `order` is needed and empty.
    """
    text = text.strip()
    for form in formats:
        try:
            when = datetime.datetime.strptime(text, form)
        except ValueError:
            continue
        return Day(when.date().isoformat(), when.time() == datetime.time())
    for pattern in (_YEAR_FIRST, _SOLID, *_NAMED):
        found = pattern.fullmatch(text)
        if found:
            return _made(found["y"], _month(found["m"]), found["d"], found["time"])
    numbers = _NUMBERS.fullmatch(text)
    if numbers is None:
        return None
    if not order:
        raise OrderUnknown(text)
    return _day(numbers, ORDERS[order])


def _day(numbers: re.Match[str], order: str) -> Day | None:
    parts = dict(zip(order, numbers.group(1, 3, 4), strict=True))
    if len(parts["y"]) == 1 or (order == "ymd" and len(numbers[4]) == 4):
        return None
    return _made(parts["y"], int(parts["m"]), parts["d"], numbers["time"])


def _month(text: str) -> int:
    if text.isdigit():
        return int(text)
    short = text[:3].casefold()
    return _MONTHS.index(short) + 1 if short in _MONTHS else 0


def _made(year: str, month: int, day: str, time: str | None) -> Day | None:
    number = int(year)
    if len(year) == 2:
        number += 2000 if number < 69 else 1900
    if not year.isascii() or not day.isascii():
        return None
    try:
        date = datetime.date(number, month, int(day))
    except ValueError:
        return None
    return Day(date.isoformat(), not time or bool(_NO_TIME.fullmatch(time)))
