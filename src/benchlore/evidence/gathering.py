"""The cases that the evidence rests on, with what is compared of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from benchlore.evidence.model import Source
from benchlore.index.digests import NO_DIGEST, Digest
from benchlore.index.store import Store
from benchlore.language import Reading
from benchlore.notes import Lines, Note, read_yes_no
from benchlore.search.results import Weighed
from benchlore.search.scoring import Closeness

FLATTENED = 1.5
LEAST_CHANCE = 0.005
"""Chances nearer to 0 or 1 than this are no better known."""


@dataclass(frozen=True, slots=True)
class Case:
    """A case that is close or related.

    Attributes:
        chance: that it is useful, 0..1.
        conditions: when its symptom shows, each with its lines.
    """

    number: int
    note: Note
    chance: float
    closeness: Closeness
    digest: Digest
    conditions: tuple[tuple[Reading, Lines], ...]

    def source(self, lines: Lines | None) -> Source:
        """Its `lines`, or its first line."""
        first, last = (lines.first, lines.last) if lines else (1, 1)
        return Source(self.note.path, first, last, self.note.case)

    @property
    def weight(self) -> float:
        """What it counts beside the others, above 0: the odds of its chance, flattened.

        A case with a chance of 0.95 tells more than three with 0.4. Of the powers tried on the
        questions that the ranking is fitted on, 1 and 1 / 1.5 named the right cause first most
        often; the flatter trusts a single case less.
        """
        chance = min(max(self.chance, LEAST_CHANCE), 1 - LEAST_CHANCE)
        return float((chance / (1 - chance)) ** (1 / FLATTENED))

    @property
    def known(self) -> bool:
        """Whether a cause is recorded that was found."""
        return any(cause.known for cause in self.digest.causes)


def came_back(note: Note) -> bool:
    """Say whether the machine came back."""
    return note.outcome is not None and read_yes_no(note.outcome.comeback) is True


def ended(note: Note) -> str:
    """How the job ended, in lower case: fixed, improved, not fixed, declined, open; "" unsaid."""
    return " ".join(note.outcome.result.casefold().split()) if note.outcome else ""


def gather(store: Store, behind: Sequence[Weighed]) -> tuple[Case, ...]:
    """Return the cases of an answer's `behind`, the likeliest first.

    Raises:
        IndexDamaged: the index cannot be read.
    """
    numbers = [each.number for each in behind]
    notes, digests = store.notes(numbers), store.digests(numbers)
    conditions = store.condition_lines(numbers)
    return tuple(
        Case(
            each.number,
            notes[each.number].note,
            each.chance,
            each.closeness,
            digests.get(each.number, NO_DIGEST),
            tuple(conditions.get(each.number, ())),
        )
        for each in behind
        if each.number in notes  # an answer may be older than the store
    )
