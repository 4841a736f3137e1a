"""Dates: in the future, in the wrong order, or written so that they can be read in two ways."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator

from benchlore.checking.model import Mend, Seen
from benchlore.checking.places import Places
from benchlore.notes import Note, read_date

_ISO = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_YEAR_FIRST = re.compile(r"[0-9]{4}-")


def dates(note: Note, places: Places, today: datetime.date) -> Iterator[Seen]:
    """Look at the date of the case and of its outcome; those that are none the reader has named."""
    if note.date:
        yield from _date(note.date, places.top_value("date", note.date.strip()), today, places)
    outcome = note.outcome
    if outcome is None or not outcome.date:
        return
    at = places.value(outcome.lines, "date", outcome.date.strip())
    yield from _date(outcome.date, at, today, places)
    first, last = read_date(note.date), read_date(outcome.date)
    if first and last and last < first:
        what = f"the outcome's date {last} lies before the case's own, {first}"
        yield Seen("date", at, what, "one of the two is wrong")


def _date(written: str, at: int, today: datetime.date, places: Places) -> Iterator[Seen]:
    written = written.strip()
    day = read_date(written)
    if day is None:
        return
    if day > today:
        yield Seen("date", at, f"{day} lies in the future", "mend it, or the clock's date")
    if _ISO.fullmatch(written):
        return
    if not _YEAR_FIRST.match(written) and day.day <= 12 and day.day != day.month:
        what = f"'{written}' can be read in two ways; {day.day} {day:%B %Y} was read"
        yield Seen("date", at, what, f"write {day} if that is the day")
        return
    stands = places.text[at : at + len(written)] == written
    mend = Mend(at, written, str(day)) if stands else None
    yield Seen("date", at, f"the date '{written}' is read as {day}", f"write {day}", mend)
