"""From a question and an open index to the nearest cases and articles."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from benchlore.errors import UsageError
from benchlore.index.copies import Copy, copies_among
from benchlore.index.encoder import Vectors
from benchlore.index.note_table import NoteTable, Places
from benchlore.index.opened import OpenIndex
from benchlore.index.stored import StoredNote, StoredPassage
from benchlore.language import Reading
from benchlore.language.vocabulary import of_shop
from benchlore.search.asked import Asked, Asking, part_names
from benchlore.search.features import Candidates, Collector
from benchlore.search.feedback import feed_back
from benchlore.search.reasons import NOTHING, Compared, compare, telling
from benchlore.search.results import Answer, Closest, Hit, PassageHit, Question, Weighed
from benchlore.search.scoring import FEATURES, Matrix, Model, fitted_model

COMPARED_CASES, COMPARED_ARTICLES = 60, 12
"""Notes whose conditions are compared, and that may be results: the best by all other features.
More are taken where more results are wanted."""

SHOWN_PASSAGES = 3
SHOWN_WITHIN = 0.2
"""A result shows up to three passages, and only those that score within this of its best."""

PASSAGE_WORDS = 0.25
"""What sharing all words of the question counts beside the cosine, in choosing passages to show."""

KEPT_NOTES = 20_000
"""Notes whose conditions are kept in memory between questions."""


@dataclass(frozen=True, slots=True)
class Ranked:
    """A note as ranked, with all that the ranking knows of it.

    Attributes:
        row: of the note in the `NoteTable`.
        features: in the order of `FEATURES`.
    """

    row: int
    number: int
    is_case: bool
    score: float
    chance: float
    features: Sequence[float]
    compared: Compared


@dataclass(frozen=True, slots=True)
class Ranking:
    """The notes that were compared, best first, for a question taken apart."""

    asked: Asked
    notes: tuple[Ranked, ...]
    candidates: Candidates
    vector: Vectors | None


class Engine:
    """Searches one open index. Safe to use from several threads."""

    def __init__(self, index: OpenIndex, model: Model | None = None) -> None:
        self.index = index
        self.model = model or fitted_model(words_only=bool(index.words_only))
        self._vocabulary = of_shop(index.shop.settings.vocabulary)
        self._conditions: dict[int, list[Reading]] = {}

    def changed(self, index: OpenIndex) -> Engine:
        """An engine for `index`, which is this one's with changed notes: see `index.live`."""
        engine = Engine(index, self.model)
        # Numbers of notes are never used twice, so what was read of a note stays true.
        engine._conditions = dict(self._conditions)
        return engine

    @cached_property
    def table(self) -> NoteTable:
        """What is kept of all notes in memory."""
        return self.index.store.note_table()

    @cached_property
    def _asking(self) -> Asking:
        return Asking(self.index.store, self.table, self._vocabulary)

    @cached_property
    def _collector(self) -> Collector:
        return Collector(self.index, self.table)

    @cached_property
    def _condition_counts(self) -> list[tuple[Reading, int]]:
        return self.index.store.condition_counts()

    def find(self, question: Question) -> Answer:
        """Return the nearest cases and articles; the same question and index give the same answer.

        Raises:
            UsageError: the question says nothing.
            IndexDamaged: a file of the index is not what the build wrote.
        """
        ranking, copies = self._without_copies(self.rank(question))
        cases = [note for note in ranking.notes if note.is_case][: question.limit]
        articles = [note for note in ranking.notes if not note.is_case][: question.articles]
        shown = self._shown(ranking, [*cases, *articles])
        stored = self.index.store.notes(note.number for note in (*cases, *articles))
        hits = {
            n.row: replace(
                self._hit(n, ranking, stored, shown), copies=tuple(copies.get(n.number, ()))
            )
            for n in (*cases, *articles)
        }
        return Answer(
            question,
            tuple(hits[note.row] for note in cases),
            tuple(hits[note.row] for note in articles),
            ranking.asked.readings,
            self._closest([hits[note.row] for note in cases or articles]),
            self._behind(ranking),
            self.index.words_only,
        )

    def _without_copies(self, ranking: Ranking) -> tuple[Ranking, dict[int, list[Copy]]]:
        """The ranking without notes that are copies of another in it, and those by its number."""
        copies: dict[int, list[Copy]] = {}
        dropped: set[int] = set()
        for is_case in (True, False):
            numbers = [note.number for note in ranking.notes if note.is_case == is_case]
            files = self.index.store.sources(numbers)
            for number, original in sorted(copies_among(files).items()):
                (path, digest), (_, digest_of_original) = files[number], files[original]
                copies.setdefault(original, []).append(Copy(path, digest == digest_of_original))
                dropped.add(number)
        kept = tuple(note for note in ranking.notes if note.number not in dropped)
        return replace(ranking, notes=kept), copies

    def _behind(self, ranking: Ranking) -> tuple[Weighed, ...]:
        """The cases that are not far, the likeliest first."""
        cases = [note for note in ranking.notes if note.is_case]
        weighed = [
            Weighed(note.number, round(note.chance, 4), self.model.closeness(note.chance))
            for note in sorted(cases, key=lambda note: (-note.chance, note.number))
        ]
        return tuple(each for each in weighed if each.closeness != "far")

    def rank(self, question: Question) -> Ranking:
        """Rank the notes worth comparing, with their features; see `find` for the errors."""
        if not any(char.isalnum() for char in question.text):
            raise UsageError("type a symptom", 'for example: benchlore find "hums above 50 km/h"')
        mended = self._asking.mended(question)
        # Side by side: the sentence model needs none of what is looked up meanwhile.
        encoding = None if self.index.words_only else self.index.start_encoding(mended.texts)
        asked = self._asking.asked(question, mended)
        allowed = self.index.store.matching_notes(question.filters)
        vector = _direction(encoding.result()) if encoding else None
        candidates = self._collector.candidates(asked, vector, allowed)
        chosen = self._chosen(candidates, question)
        rows, features = candidates.rows[chosen], candidates.features[chosen]
        tells = self._telling(asked)
        compared = self._compared(asked, tells, rows)
        features[:, FEATURES.index("agree")] = [each.agree for each in compared]
        features[:, FEATURES.index("conflict")] = [each.conflict for each in compared]
        told = sum(t * r.weight for t, r in zip(tells, asked.readings, strict=True))
        features[:, FEATURES.index("conditions")] = told
        if vector is not None and len(rows):
            self._feed_back(features, rows)
        scores, chances = self.model.scores(features), self.model.chances(features)
        order = np.lexsort((self.table.numbers[rows], -scores))
        notes = tuple(
            Ranked(
                row=int(rows[place]),
                number=int(self.table.numbers[rows[place]]),
                is_case=bool(self.table.is_case[rows[place]]),
                score=float(scores[place]),
                chance=float(chances[place]),
                features=tuple(features[place].tolist()),
                compared=compared[place],
            )
            for place in order
        )
        return Ranking(asked, notes, candidates, vector)

    def _chosen(self, candidates: Candidates, question: Question) -> Places:
        """Places of the best candidates of each kind, by what is known so far."""
        scores = self.model.scores(candidates.features)
        is_case = self.table.is_case[candidates.rows]
        places = []
        for kind, wanted, least in (
            (is_case, question.limit, COMPARED_CASES),
            (~is_case, question.articles, COMPARED_ARTICLES),
        ):
            of_kind = np.flatnonzero(kind)
            order = np.argsort(-scores[of_kind], kind="stable")
            places.append(of_kind[order[: max(wanted, least)]])
        return np.concatenate(places)

    def _telling(self, asked: Asked) -> tuple[float, ...]:
        if not asked.readings:
            return ()
        return telling(asked.readings, self._condition_counts, len(self.table))

    def _compared(self, asked: Asked, tells: Sequence[float], rows: Places) -> list[Compared]:
        if not asked.readings:
            return [NOTHING] * len(rows)
        numbers = self.table.numbers[rows].tolist()
        missing = [number for number in numbers if number not in self._conditions]
        if len(self._conditions) > KEPT_NOTES:
            self._conditions = {}
            missing = numbers
        read = self.index.store.conditions(missing)
        self._conditions.update((number, read.get(number, [])) for number in missing)
        return [compare(asked.readings, tells, self._conditions[number]) for number in numbers]

    def _feed_back(self, features: Matrix, rows: Places) -> None:
        cases = np.flatnonzero(self.table.is_case[rows])
        among = cases if len(cases) else np.arange(len(rows))
        table = self.table
        feed_back(features, table.symptoms[rows], table.wholes[rows], among, self.model)

    def _closest(self, hits: Iterable[Hit]) -> Closest:
        chances = [hit.chance for hit in hits]
        return self.model.closeness(max(chances)) if chances else "none"

    def _shown(
        self, ranking: Ranking, notes: Sequence[Ranked]
    ) -> dict[int, tuple[PassageHit, ...]]:
        """The passages that carried each of `notes`, by note number, best first."""
        asked, store = ranking.asked, self.index.store
        passages = store.passages_of_notes(note.number for note in notes)
        cosines = self._cosines(ranking.vector, [passage.number for passage in passages])
        stating = {number for each in asked.stating.values() for number in each.passages.tolist()}
        total = sum(rarity for rarity, _ in asked.words.values()) or 1.0
        scored: dict[int, list[tuple[float, StoredPassage]]] = {}
        for passage in passages:
            held = set(passage.words.split(" "))
            words = sum(rarity for word, (rarity, _) in asked.words.items() if word in held)
            score = cosines.get(passage.number, 0.0) + PASSAGE_WORDS * words / total
            if passage.number in stating:
                score += 1.0  # what states the code that was asked for carries the result
            scored.setdefault(passage.note, []).append((score, passage))
        return {note: _best(found) for note, found in scored.items()}

    def _cosines(self, vector: Vectors | None, numbers: Sequence[int]) -> dict[int, float]:
        if vector is None or not numbers:
            return {}
        cosines = self.index.vectors_of(numbers) @ vector
        return dict(zip(numbers, cosines.tolist(), strict=True))

    def _hit(
        self,
        ranked: Ranked,
        ranking: Ranking,
        stored: Mapping[int, StoredNote],
        shown: Mapping[int, tuple[PassageHit, ...]],
    ) -> Hit:
        asked = ranking.asked
        return Hit(
            note=stored[ranked.number].note,
            score=round(ranked.score, 4),
            chance=round(ranked.chance, 4),
            closeness=self.model.closeness(ranked.chance),
            passages=shown.get(ranked.number, ()),
            agrees=ranked.compared.agrees,
            conflicts=ranked.compared.conflicts,
            tokens=tuple(token for token, s in asked.stating.items() if ranked.row in s.rows),
            values=ranking.candidates.values.get(ranked.row, ()),
            parts=part_names(
                part
                for part, (_, postings) in asked.parts.items()
                if postings is not None and ranked.number in postings.notes
            ),
            unread=stored[ranked.number].unread,
        )


def _direction(vectors: Vectors) -> Vectors:
    """The mean direction of the vectors of a question's texts."""
    mean: Vectors = vectors.mean(axis=0)
    return mean / max(float(np.linalg.norm(mean)), 1e-9)


def _best(scored: list[tuple[float, StoredPassage]]) -> tuple[PassageHit, ...]:
    scored.sort(key=lambda pair: (-pair[0], pair[1].number))
    least = scored[0][0] - SHOWN_WITHIN
    return tuple(
        PassageHit(p.kind, p.first_line, p.last_line, p.text, round(score, 4))
        for score, p in scored[:SHOWN_PASSAGES]
        if score >= least
    )
