"""What a search is asked and what it answers, as frozen data."""

from __future__ import annotations

from dataclasses import dataclass, field

from benchlore.index.passages import PassageKind
from benchlore.index.store import Filters
from benchlore.notes import Note

MAX_QUESTION = 2000
"""Characters of a question that are read; more than a technician types, less than a page pasted in
by mistake."""


@dataclass(frozen=True, slots=True)
class Question:
    """A symptom in the technician's words; at most `limit` cases and `articles` are wanted."""

    text: str
    limit: int = 10
    articles: int = 3
    filters: Filters = field(default_factory=Filters)


@dataclass(frozen=True, slots=True)
class PassageHit:
    """A passage that carried a result: its lines in the source file, 1-based, both included."""

    kind: PassageKind
    first_line: int
    last_line: int
    text: str
    score: float


@dataclass(frozen=True, slots=True)
class Hit:
    """A case or an article that was found.

    Attributes:
        note: what the note states, without its text and sections.
        score: how near it is; higher is nearer. Comparable within one index only.
        passages: those that carried it, best first.
        tokens: exact tokens of the question that it states.
        unread: why its file could not be read again at the last build, else empty.
    """

    note: Note
    score: float
    passages: tuple[PassageHit, ...]
    tokens: tuple[str, ...] = ()
    unread: str = ""


@dataclass(frozen=True, slots=True)
class Answer:
    """The nearest cases and articles, best first; `words_only` says why no vectors were used."""

    question: Question
    cases: tuple[Hit, ...]
    articles: tuple[Hit, ...]
    words_only: str = ""
