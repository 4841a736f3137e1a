"""The date from which cases are wanted, as people write it."""

from __future__ import annotations

import re

from benchlore.notes import read_date

HOW = "write 2023, 2023-06 or 2023-06-30"

_MONTH = re.compile(r"([0-9]{4})(?:-([0-9]{1,2}))?")


def since_date(text: str) -> str | None:
    """The ISO date meant by `text`: the first day of a year or month; '' for none.

    None when it means no date.
    """
    text = text.strip()
    if not text:
        return ""
    month = _MONTH.fullmatch(text)
    day = read_date(f"{month[1]}-{month[2] or 1}-1" if month else text)
    return day.isoformat() if day else None
