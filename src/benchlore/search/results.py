"""What a search is asked and what it answers, as frozen data."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from benchlore.index.copies import Copy
from benchlore.index.passages import PassageKind
from benchlore.index.stored import Filters
from benchlore.language import Reading
from benchlore.notes import Note
from benchlore.search.scoring import Closeness

MAX_QUESTION = 2000
"""Characters of a question that are read; more than a technician types, less than a page pasted in
by mistake."""

Closest = Literal["close", "related", "far", "none"]


@dataclass(frozen=True, slots=True)
class Question:
    """A symptom in the technician's words; at most `limit` cases and `articles` are wanted.

    Attributes:
        dropped: conditions that were misread and are not to count: (axis, value, polarity).
    """

    text: str
    limit: int = 10
    articles: int = 3
    filters: Filters = field(default_factory=Filters)
    dropped: frozenset[tuple[str, str, str]] = frozenset()


@dataclass(frozen=True, slots=True)
class PassageHit:
    """A passage that carried a result: its lines in the source file, 1-based, both included."""

    kind: PassageKind
    first_line: int
    last_line: int
    text: str
    score: float


@dataclass(frozen=True, slots=True)
class Match:
    """A condition of the question, and the one of the note that agrees with or contradicts it."""

    asked: Reading
    stated: Reading


@dataclass(frozen=True, slots=True)
class ValueMatch:
    """A measured value of the question, and the near one of the note, both as written."""

    asked: str
    stated: str


@dataclass(frozen=True, slots=True)
class Hit:
    """A case or an article that was found.

    Attributes:
        note: what the note states, without its text and sections.
        score: how near it is; higher is nearer. Comparable within one index only.
        chance: that a technician would call it useful, 0..1.
        closeness: the same in a word.
        passages: those that carried it, best first.
        agrees, conflicts: conditions that agree with the question's, and that contradict them.
        tokens: exact tokens of the question that it states.
        values: its measured values that are near the question's.
        parts: parts named in the question that it names as well.
        unread: why its file could not be read again at the last build, else empty.
        copies: further files with this note, which are no results of their own.
    """

    note: Note
    score: float
    chance: float
    closeness: Closeness
    passages: tuple[PassageHit, ...]
    agrees: tuple[Match, ...] = ()
    conflicts: tuple[Match, ...] = ()
    tokens: tuple[str, ...] = ()
    values: tuple[ValueMatch, ...] = ()
    parts: tuple[str, ...] = ()
    unread: str = ""
    copies: tuple[Copy, ...] = ()


@dataclass(frozen=True, slots=True)
class Weighed:
    """A case that is close or related, shown or not, by its number in the index."""

    number: int
    chance: float
    closeness: Closeness


@dataclass(frozen=True, slots=True)
class Answer:
    """The nearest cases and articles, best first.

    Attributes:
        readings: the conditions that were read from the question, without those dropped.
        closest: the best closeness of any case, of any article where there are no cases; `none`
            when nothing was found at all.
        behind: all cases that are close or related, best first, however few are shown; a case
            of which there are copies once.
        words_only: why no vectors were used, else empty.
    """

    question: Question
    cases: tuple[Hit, ...]
    articles: tuple[Hit, ...]
    readings: tuple[Reading, ...] = ()
    closest: Closest = "none"
    behind: tuple[Weighed, ...] = ()
    words_only: str = ""
