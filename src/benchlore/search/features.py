"""The features of notes for one question, and the notes worth computing them for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from benchlore.index.encoder import Vectors
from benchlore.index.note_table import NoteTable, Places
from benchlore.index.opened import OpenIndex
from benchlore.language.quantities import Quantity, keys_of_query, near
from benchlore.search.asked import Asked
from benchlore.search.results import ValueMatch
from benchlore.search.scoring import FEATURES, Matrix, bm25

NEAREST = 300
"""Passages taken from the vectors; ten cases of some eight passages each leave room for more."""

BY_WORDS = 150
"""Notes taken by their words."""

Dense = npt.NDArray[np.float64]
"""One number for each note of the index."""


@dataclass(frozen=True, slots=True)
class Candidates:
    """Notes that may be the answer.

    Attributes:
        rows: their rows in the `NoteTable`, ascending.
        features: shape (rows, len(FEATURES)); conditions and feedback still 0.
        values: by row, the measured values that the question and the note share.
    """

    rows: Places
    features: Matrix
    values: Mapping[int, tuple[ValueMatch, ...]]


class Collector:
    """Finds the candidates in one index."""

    def __init__(self, index: OpenIndex, table: NoteTable) -> None:
        self._index = index
        self._table = table
        self._mean_length = float(table.lengths.mean()) if len(table) else 1.0

    def candidates(
        self, asked: Asked, vector: Vectors | None, allowed: set[int] | None
    ) -> Candidates:
        """Return the notes that vectors, words, tokens or values bring, with their features.

        `vector` is the question's, None without a sentence model; `allowed` are the numbers of the
        notes that may be found, None for all.
        """
        words, parts = self._words(asked), self._parts(asked)
        tokens, machine = self._tokens(asked)
        values, measured = self._values(asked.quantities)
        passage = self._passages(vector, allowed)
        brought = (tokens > 0) | (machine > 0) | (values > 0) | (passage > -1.0)
        brought[_most(words, BY_WORDS if vector is not None else 2 * BY_WORDS)] = True
        if allowed is not None:
            brought &= np.isin(self._table.numbers, list(allowed))
        rows = np.flatnonzero(brought)
        features = np.zeros((len(rows), len(FEATURES)))
        found = {
            "words": words,
            "parts": parts,
            "no_parts": 1.0 - parts if asked.parts else parts,
            "tokens": tokens,
            "machine": machine,
            "values": values,
        }
        for name, dense in found.items():
            features[:, FEATURES.index(name)] = dense[rows]
        features[:, FEATURES.index("unknown")] = self._unknown(asked)
        features[:, FEATURES.index("new_parts")] = self._new_parts(asked)
        if vector is not None and len(rows):
            self._likeness(features, rows, vector, passage)
        return Candidates(rows, features, measured)

    def _likeness(self, features: Matrix, rows: Places, vector: Vectors, passage: Dense) -> None:
        features[:, FEATURES.index("symptom")] = self._table.symptoms[rows] @ vector
        features[:, FEATURES.index("whole")] = self._table.wholes[rows] @ vector
        # A note none of whose passages came is at most as near as the last one that came.
        reached = passage[passage > -1.0]
        least = float(reached.min()) if len(reached) else 0.0
        features[:, FEATURES.index("passage")] = np.maximum(passage[rows], least)

    def _passages(self, vector: Vectors | None, allowed: set[int] | None) -> Dense:
        """The cosine of each note's best passage among the nearest; -1 for the other notes."""
        best = np.full(len(self._table), -1.0)
        if vector is None:
            return best
        among = None if allowed is None else self._index.store.passages_of(allowed)
        nearest = self._index.nearest(vector, NEAREST, among)
        rows = self._table.rows_of_passages(np.array([number for number, _ in nearest], np.int64))
        cosines = np.array([cosine for _, cosine in nearest])
        np.maximum.at(best, rows[rows >= 0], cosines[rows >= 0])
        return best

    def _words(self, asked: Asked) -> Dense:
        """BM25 over whole notes, as a share of the most that all words of the question can give."""
        total = asked.unknown + sum(rarity for rarity, _ in asked.words.values())
        sums = np.zeros(len(self._table))
        for rarity, postings in asked.words.values():
            if postings is not None:
                rows = self._table.places(postings.notes)
                part = bm25(postings.counts, self._table.lengths[rows], self._mean_length)
                sums[rows] += rarity * part
        return sums / total if total else sums

    def _parts(self, asked: Asked) -> Dense:
        total = sum(rarity for rarity, _ in asked.parts.values())
        sums = np.zeros(len(self._table))
        for rarity, postings in asked.parts.values():
            if postings is not None:
                sums[self._table.places(postings.notes)] += rarity
        return sums / total if total else sums

    @staticmethod
    def _unknown(asked: Asked) -> float:
        total = asked.unknown + sum(rarity for rarity, _ in asked.words.values())
        return asked.unknown / total if total else 0.0

    @staticmethod
    def _new_parts(asked: Asked) -> float:
        total = sum(rarity for rarity, _ in asked.parts.values())
        new = sum(rarity for rarity, postings in asked.parts.values() if postings is None)
        return new / total if total else 0.0

    def _tokens(self, asked: Asked) -> tuple[Dense, Dense]:
        """What the tokens that each note states tell, and those in its machine line only."""
        tokens, machine = np.zeros(len(self._table)), np.zeros(len(self._table))
        for token, notes in asked.stating.items():
            count = len(asked.tokens)
            tokens[notes.rows[~notes.machine_only]] += asked.tokens[token] / count
            machine[notes.rows[notes.machine_only]] += asked.names[token] / count
        return tokens, machine

    def _values(
        self, quantities: Sequence[Quantity]
    ) -> tuple[Dense, dict[int, tuple[ValueMatch, ...]]]:
        """How near each note's values come to the question's, and which they are."""
        values = np.zeros(len(self._table))
        matches: dict[int, list[ValueMatch]] = {}
        for asked in quantities:
            for note, found in self._index.store.quantities(keys_of_query(asked)).items():
                nearness, best = max(((near(asked, q), q) for q in found), key=lambda pair: pair[0])
                if nearness > 0:
                    row = int(self._table.row_of[note])
                    values[row] += nearness / len(quantities)
                    matches.setdefault(row, []).append(ValueMatch(asked.text, best.text))
        return values, {row: tuple(found) for row, found in matches.items()}


def _most(values: Dense, most: int) -> Places:
    """Places of the `most` largest values above 0."""
    positive: Places = np.flatnonzero(values > 0)
    if len(positive) <= most:
        return positive
    return positive[np.argpartition(-values[positive], most)[:most]]
