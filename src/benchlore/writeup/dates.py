"""Days as job cards write them: "4/5/25", "14.05.2025", "2025-05-14", "4th May 25"."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?"
    r"|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)"
)
_DAY = re.compile(
    r"(?<![\w./-])(?:"
    r"(?P<y1>(?:19|20)\d\d)-(?P<m1>\d\d?)-(?P<d1>\d\d?)"
    r"|(?P<d2>\d\d?)(?P<mark>[./-])(?P<m2>\d\d?)(?P=mark)(?P<y2>(?:19|20)?\d\d)"
    rf"|(?P<d3>\d\d?)(?:st|nd|rd|th)?[\s-]+(?P<m3>{_MONTH})\.?[\s,-]+'?(?P<y3>(?:19|20)?\d\d)"
    r")(?![\w/-]|[.,]\d)",
    re.I,
)
_CENTURY = 100
_YEARS = 2000


@dataclass(frozen=True, slots=True)
class Dated:
    """A day that a text names, and where: `text[start:end]`."""

    day: datetime.date
    start: int
    end: int


def days_in(text: str) -> tuple[Dated, ...]:
    """Return the days that `text` names with their year, in order; the day stands before the month.

    "5/14/25" can only be meant the other way round and is read so. What is no day is left out.
    """
    found = []
    for match in _DAY.finditer(text):
        day = _day(match)
        if day is not None:
            found.append(Dated(day, match.start(), match.end()))
    return tuple(found)


def _day(match: re.Match[str]) -> datetime.date | None:
    year = int(match["y1"] or match["y2"] or match["y3"])
    year += _YEARS if year < _CENTURY else 0
    if match["m3"]:
        day, month = int(match["d3"]), _MONTHS.index(match["m3"][:3].lower()) + 1
    else:
        day, month = int(match["d1"] or match["d2"]), int(match["m1"] or match["m2"])
    if match["d2"] and month > len(_MONTHS) >= day:
        day, month = month, day
    try:
        return datetime.date(year, month, day)
    except ValueError:
        return None
