"""Cases that somebody should ring up about: still open, or fixed and never heard of again."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from benchlore.evidence.gathering import ended
from benchlore.index.store import Store
from benchlore.notes import Note, read_date, read_yes_no
from benchlore.shop import Settings

Why = Literal["open", "no outcome", "not confirmed"]

_REPAIRED = ("fixed", "improved")
_ENDED = ("declined", "not fixed")


@dataclass(frozen=True, slots=True)
class Due:
    """A case that is due for another look.

    Attributes:
        note: without its text and sections.
        why: its outcome is open, there is none, or nobody said whether the repair held.
        days: since the outcome's or the note's date; None where neither can be read.
    """

    note: Note
    why: Why
    days: int | None

    @property
    def words(self) -> str:
        """`open for 43 days`, `fixed 61 days ago, not confirmed`."""
        since = "" if self.days is None else f"{self.days} day{'' if self.days == 1 else 's'}"
        if self.why == "not confirmed":
            result = ended(self.note)
            return f"{result} {since} ago, not confirmed" if since else f"{result}, not confirmed"
        word = "open" if self.why == "open" else "no outcome"
        return f"{word} for {since}" if since else f"{word}, no date"


def due_cases(store: Store, settings: Settings, today: datetime.date) -> tuple[Due, ...]:
    """Return the cases of an open index that are due, the longest waiting first.

    A repair is due when it is older than the shop's `follow_up_days`. Cases without a date come
    last.

    Raises:
        IndexDamaged: the index cannot be read.
    """
    notes = (stored.note for stored in store.all_notes())
    return due_among(notes, settings.follow_up_days, today)


def due_among(notes: Iterable[Note], days: int, today: datetime.date) -> tuple[Due, ...]:
    """As `due_cases`, of `notes`; articles are left out."""
    found = [_due(note, days, today) for note in notes if note.kind == "case"]
    due = [each for each in found if each is not None]
    return tuple(sorted(due, key=lambda each: (each.days is None, -(each.days or 0))))


def _due(note: Note, days: int, today: datetime.date) -> Due | None:
    result = ended(note)
    if result in _REPAIRED and _heard_of(note):
        return None
    if result in _ENDED:
        return None
    since = _since(note, today)
    if result in _REPAIRED:
        waiting = since is None or since > days
        return Due(note, "not confirmed", since) if waiting else None
    if note.outcome is None and not _written_up(note):
        return None
    return Due(note, "open" if result else "no outcome", since)


def _heard_of(note: Note) -> bool:
    outcome = note.outcome
    return outcome is not None and (
        bool(outcome.after.strip()) or read_yes_no(outcome.comeback) is not None
    )


def _written_up(note: Note) -> bool:
    """Say whether a note without outcome is a write-up of a job at all.

    A plain text file among the notes has a first line for its symptom and promises no outcome.
    """
    return bool(note.date or note.present or note.checks or note.causes or note.machine.lines)


def _since(note: Note, today: datetime.date) -> int | None:
    """Days since the outcome, else since the note; of a day to come, 0."""
    said = note.outcome.date if note.outcome else ""
    day = read_date(said) or read_date(note.date)
    return max((today - day).days, 0) if day else None
