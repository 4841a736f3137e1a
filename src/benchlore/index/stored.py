"""What the store gives back, as frozen data, and what narrows a search of it."""

from __future__ import annotations

from dataclasses import dataclass

from benchlore.index.passages import PassageKind
from benchlore.language.causes import CauseReading
from benchlore.notes import Kind, Note


@dataclass(frozen=True, slots=True)
class StoredFile:
    """What the store knows of a note file. `unread` says why it could not be read again, if so."""

    path: str
    digest: str
    size: int
    mtime_ns: int
    unread: str


@dataclass(frozen=True, slots=True)
class StoredPassage:
    """A passage as stored. `number` is never used twice; `words` are its search words."""

    number: int
    note: int
    note_kind: Kind
    kind: PassageKind
    first_line: int
    last_line: int
    text: str
    words: str


@dataclass(frozen=True, slots=True)
class StoredNote:
    """A note without text and sections, see `cards`. `unread` as in `StoredFile`."""

    number: int
    note: Note
    unread: str


@dataclass(frozen=True, slots=True)
class StoredCause:
    """A known cause of a case note, with its lines and the note's job-card number."""

    note: int
    path: str
    case: str
    first_line: int
    last_line: int
    reading: CauseReading


@dataclass(frozen=True, slots=True)
class StoredMachine:
    """The machine of a case, with names as they are compared; see `machines.MachineFacts`."""

    note: int
    make: str
    model: str
    engine: str
    year: int | None
    distance: float | None
    hours: float | None


@dataclass(frozen=True, slots=True)
class Filters:
    """What narrows a search. An empty field narrows nothing.

    Attributes:
        system, make: compared without case, whole.
        engine: compared by letters and digits only.
        since: ISO date; notes without a date that can be read are left out.
    """

    system: str = ""
    make: str = ""
    engine: str = ""
    since: str = ""

    @property
    def any(self) -> bool:
        return bool(self.system or self.make or self.engine or self.since)
