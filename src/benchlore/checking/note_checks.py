"""One note looked at by itself: what can be told without the rest of the shop."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator

from benchlore.checking.causes import causes, outcome
from benchlore.checking.codes import codes
from benchlore.checking.conditions import contradictions
from benchlore.checking.dates import dates
from benchlore.checking.measured import measured
from benchlore.checking.model import Seen
from benchlore.checking.personal import personal
from benchlore.checking.places import Places
from benchlore.language.vocabulary import Vocabulary, current
from benchlore.notes import Note, Problem

_CAUTIONS = re.compile(r"^[ \t-]*[\"']?(?P<key>cautions?)\b", re.I | re.M)


def look_at(
    note: Note, today: datetime.date, vocabulary: Vocabulary | None = None
) -> tuple[Problem, ...]:
    """Return all that needs a look in `note` by itself, what its reader said included, by place.

    Args:
        note: read by `notes.read_note`, from a file or from what a form holds.
        today: dates after it lie in the future.
        vocabulary: the shop's words; the built-in ones without it.
    """
    places = Places(note)
    found = [
        Problem(*places.line_and_column(seen.at), seen.what, seen.todo)
        for seen in see(note, places, today, vocabulary or current())
    ]
    return tuple(sorted(found, key=lambda problem: (problem.line, problem.column, problem.what)))


def see(note: Note, places: Places, today: datetime.date, vocabulary: Vocabulary) -> Iterator[Seen]:
    """Yield all that needs a look in `note` by itself, in no order."""
    for problem in note.problems:
        at = places.offset(problem.line, problem.column)
        yield Seen("reading", at, problem.what, problem.todo)
    yield from _cautions(note)
    yield from measured(note, places)
    yield from causes(note, places)
    yield from outcome(note, places)
    yield from dates(note, places, today)
    yield from codes(note, places)
    yield from contradictions(note, places, vocabulary)
    yield from personal(note)


def _cautions(note: Note) -> Iterator[Seen]:
    if note.cautions_unread:
        found = _CAUTIONS.search(note.text)
        what = "the cautions of this note could not be read"
        todo = "mend the front matter; until then every result says: open the note first"
        yield Seen("cautions", found.start("key") if found else 0, what, todo)
