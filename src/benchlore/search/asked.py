"""What a question asks for, as the index can look it up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from benchlore.index.note_table import NoteTable, Places
from benchlore.index.postings import Postings
from benchlore.index.rows import storable
from benchlore.index.store import Store
from benchlore.language import Reading, query_tokens, read_conditions
from benchlore.language.folding import normal
from benchlore.language.quantities import Quantity, read_quantities
from benchlore.language.search_words import PART, part_words, search_words
from benchlore.language.tokens import is_trouble_code
from benchlore.language.vocabulary import Vocabulary
from benchlore.search.results import MAX_QUESTION, Question
from benchlore.search.scoring import rarity, token_strength
from benchlore.search.shop_words import ShopWords

MOST_STATING = 2000
"""Notes taken by one exact token."""


@dataclass(frozen=True, slots=True)
class Stating:
    """The notes that state an exact token.

    Attributes:
        rows: of the notes in the `NoteTable`, ascending, at most `MOST_STATING`.
        machine_only: for each row whether only the note's machine line states it.
        passages: numbers of all passages that state it.
    """

    rows: Places
    machine_only: npt.NDArray[np.bool_]
    passages: npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Asked:
    """A question taken apart.

    Attributes:
        readings: the conditions, those that the technician dropped left out.
        words: search words that notes know, with their rarity and the notes that hold them.
        parts: parts named, likewise; those that no note names have empty postings.
        unknown: rarity of all words together that no note knows.
        tokens: exact tokens that notes state, with their strength.
        names: the same tokens, with how much each tells as a name in a machine line.
        stating: by token the notes that state it.
        quantities: measured values.
    """

    readings: tuple[Reading, ...]
    words: Mapping[str, tuple[float, Postings | None]]
    parts: Mapping[str, tuple[float, Postings | None]]
    unknown: float
    tokens: Mapping[str, float]
    names: Mapping[str, float]
    stating: Mapping[str, Stating]
    quantities: tuple[Quantity, ...]


@dataclass(frozen=True, slots=True)
class Mended:
    """A question with its slips mended.

    Attributes:
        written: the question as it was typed.
        words: its search words, as in `Asked`, with those that no note knows.
    """

    written: str
    mended: str
    folded: str
    words: Mapping[str, tuple[float, Postings | None]]

    @property
    def texts(self) -> tuple[str, ...]:
        """What the sentence model reads: the question mended, and folded where that differs."""
        differs = self.folded != self.mended.lower()
        return (self.mended, self.folded) if differs else (self.mended,)


class Asking:
    """Takes questions apart, for one index."""

    def __init__(self, store: Store, table: NoteTable, vocabulary: Vocabulary) -> None:
        self._store = store
        self._table = table
        self._notes = max(len(table), 1)
        self._vocabulary = vocabulary
        self._shop_words: ShopWords | None = None

    def mended(self, question: Question) -> Mended:
        """Mend the words of `question`: the first step, all that the sentence model waits for."""
        text = storable(question.text[:MAX_QUESTION])
        mended, words = self._words(text)
        return Mended(text, mended, normal(mended, self._vocabulary), words)

    def asked(self, question: Question, mended: Mended) -> Asked:
        """Read the rest of `question`."""
        text, words = mended.written, mended.words
        read = read_conditions(text, self._vocabulary)
        readings = tuple(r for r in read if key_of(r) not in question.dropped)
        parts = self._looked_up(part_words(mended.mended, self._vocabulary))
        tokens, stating = self._tokens(text)
        unknown = sum(rarity for rarity, postings in words.values() if postings is None)
        return Asked(
            readings=readings,
            words={word: found for word, found in words.items() if found[1] is not None},
            parts=parts,
            unknown=unknown,
            tokens=tokens,
            names={
                token: rarity(len(notes.rows), self._notes) / rarity(1, self._notes)
                for token, notes in stating.items()
            },
            stating=stating,
            quantities=_measured(text, readings),
        )

    def _words(self, text: str) -> tuple[str, dict[str, tuple[float, Postings | None]]]:
        """The text, its slips mended where there are any, and its search words."""
        words = self._looked_up(search_words(text, self._vocabulary))
        if all(postings is not None for _, postings in words.values()):
            return text, words
        if self._shop_words is None:
            self._shop_words = ShopWords(self._store.words(), self._vocabulary)
        mended = self._shop_words.mended(text)
        more = self._shop_words.joined(text)
        if mended != text or more:
            words = self._looked_up([*search_words(mended, self._vocabulary), *more])
        return mended, words

    def _looked_up(self, words: list[str]) -> dict[str, tuple[float, Postings | None]]:
        """Each word with its rarity and postings; None where no note holds it."""
        wanted = dict.fromkeys(words)
        found = self._store.postings(wanted)
        return {
            word: (
                rarity(len(found[word].notes) if word in found else 0, self._notes),
                found.get(word),
            )
            for word in wanted
        }

    def _tokens(self, text: str) -> tuple[dict[str, float], dict[str, Stating]]:
        stating = {}
        for token in sorted(query_tokens(text)):
            passages = self._store.passages_with_token(token)
            if passages:
                stating[token] = self._stating(np.array(passages, dtype=np.int64))
        strengths = {
            token: token_strength(token, len(notes.rows), self._notes, is_trouble_code(token))
            for token, notes in stating.items()
        }
        return strengths, stating

    def _stating(self, passages: npt.NDArray[np.int64]) -> Stating:
        of_each = self._table.rows_of_passages(passages)
        in_machine = passages == self._table.machine_passages[of_each]
        rows, starts = np.unique(of_each, return_index=True)
        machine_only = np.logical_and.reduceat(in_machine, starts)
        return Stating(rows[:MOST_STATING], machine_only[:MOST_STATING], passages)


def _measured(text: str, readings: Sequence[Reading]) -> tuple[Quantity, ...]:
    """The measured values of a question: not its times, nor numbers that are conditions."""
    return tuple(
        quantity
        for quantity in read_quantities(text)
        if quantity.dimension != "time"
        and not any(r.start < quantity.end and quantity.start < r.end for r in readings)
    )


def key_of(reading: Reading) -> tuple[str, str, str]:
    """What tells a reading of a question from the others: axis, value, polarity."""
    return reading.axis, reading.value, reading.polarity


def part_names(words: Iterable[str]) -> tuple[str, ...]:
    """`brake disc` of the search word `part:brake_disc`; without names that another one holds."""
    names = [word.removeprefix(PART).replace("_", " ") for word in words]
    return tuple(
        name
        for name in names
        if not any(f" {name} " in f" {other} " for other in names if other != name)
    )
