"""From a question and an open index to the nearest cases and articles."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from benchlore.errors import UsageError
from benchlore.index.encoder import Vectors
from benchlore.index.opened import OpenIndex
from benchlore.index.rows import storable
from benchlore.index.store import StoredNote, StoredPassage
from benchlore.language import fold, query_tokens
from benchlore.language.tokens import is_trouble_code
from benchlore.notes import Kind
from benchlore.search.results import MAX_QUESTION, Answer, Hit, PassageHit, Question
from benchlore.search.scoring import (
    WEIGHTS,
    Weights,
    note_score,
    rarity,
    share,
    token_strength,
)

NEAREST = 300
"""Passages taken from the vectors; ten cases of some eight passages each leave room for more."""

BY_WORDS = 200
"""Passages taken by their words."""

RARE_WORD = 0.02
"""A word in a larger share of all passages brings none by itself: the vectors find those."""

BY_TOKEN = 2000
"""Passages taken by one exact token."""

SHOWN_PASSAGES = 3
SHOWN_WITHIN = 0.2
"""A result shows up to three passages, and only those that score within this of its best."""


@dataclass(frozen=True, slots=True)
class _Terms:
    """What of the question the notes know: words with their rarity, exact tokens with their
    strength."""

    words: Mapping[str, float]
    rare_words: tuple[str, ...]
    tokens: Mapping[str, float]


@dataclass(slots=True)
class _Scored:
    """A note's passages with their scores, and the tokens it states."""

    kind: Kind
    passages: list[tuple[float, StoredPassage]]
    tokens: set[str]
    machine_tokens: set[str]


class Engine:
    """Searches one open index. Safe to use from several threads."""

    def __init__(self, index: OpenIndex, weights: Weights = WEIGHTS) -> None:
        self.index = index
        self._weights = weights
        self._total = max(index.store.passage_count(), 1)

    def find(self, question: Question) -> Answer:
        """Return the nearest cases and articles; the same question and index give the same answer.

        Raises:
            UsageError: the question says nothing.
            IndexDamaged: a file of the index is not what the build wrote.
        """
        text = storable(question.text[:MAX_QUESTION])
        if not any(char.isalnum() for char in text):
            raise UsageError("type a symptom", 'for example: benchlore find "hums above 50 km/h"')
        terms = self._terms(text)
        allowed = self.index.store.matching_notes(question.filters)
        stating = self._stating(terms)
        cosines = self._cosines(text, terms, stating, allowed)
        scored = self._score(cosines, terms, stating, allowed)
        ranked = sorted(
            ((self._total_score(note, terms), number) for number, note in scored.items()),
            key=lambda pair: (-pair[0], pair[1]),
        )
        return self._answer(question, ranked, scored)

    def _terms(self, text: str) -> _Terms:
        store, total = self.index.store, self._total
        word_counts = store.word_counts(sorted(set(fold(text))))
        token_counts = store.token_counts(sorted(query_tokens(text)))
        every = bool(self.index.words_only)
        return _Terms(
            words={word: rarity(count, total) for word, count in word_counts.items()},
            rare_words=tuple(
                word for word, count in word_counts.items() if every or count <= RARE_WORD * total
            ),
            tokens={
                token: token_strength(count, total, is_trouble_code(token))
                for token, count in token_counts.items()
            },
        )

    def _stating(self, terms: _Terms) -> dict[int, set[str]]:
        """The passages that state exact tokens of the question, and which."""
        stating: dict[int, set[str]] = defaultdict(set)
        for token in terms.tokens:
            for number in self.index.store.passages_with_token(token, BY_TOKEN):
                stating[number].add(token)
        return stating

    def _cosines(
        self,
        text: str,
        terms: _Terms,
        stating: Mapping[int, set[str]],
        allowed: set[int] | None,
    ) -> dict[int, float]:
        """Candidate passages with the cosine of each to the question (0 without vectors)."""
        store = self.index.store
        candidates = {*store.passages_by_words(terms.rare_words, BY_WORDS), *stating}
        if self.index.words_only:
            return dict.fromkeys(candidates, 0.0)
        vector = self.index.encode(text)
        among = None if allowed is None else store.passages_of(allowed)
        cosines = dict(self.index.nearest(vector, NEAREST, among))
        cosines.update(self._exact(vector, candidates - cosines.keys()))
        return cosines

    def _exact(self, vector: Vectors, numbers: Iterable[int]) -> dict[int, float]:
        found, vectors = self.index.store.vectors_of(sorted(numbers))
        if not found:
            return {}
        return dict(zip(found, (vectors @ vector).tolist(), strict=True))

    def _score(
        self,
        cosines: Mapping[int, float],
        terms: _Terms,
        stating: Mapping[int, set[str]],
        allowed: set[int] | None,
    ) -> dict[int, _Scored]:
        """Group the candidates by note, each passage with its score but for exact tokens."""
        notes: dict[int, _Scored] = {}
        for passage in self.index.store.passages(cosines):
            if allowed is not None and passage.note not in allowed:
                continue
            words = share(terms.words, set(passage.words.split(" ")))
            score = cosines[passage.number] + self._weights.words * words
            note = notes.setdefault(passage.note, _Scored(passage.note_kind, [], set(), set()))
            note.passages.append((score, passage))
            where = note.machine_tokens if passage.kind == "machine" else note.tokens
            where.update(stating.get(passage.number, ()))
        for note in notes.values():
            note.passages.sort(key=lambda pair: (-pair[0], pair[1].number))
        return notes

    def _total_score(self, scored: _Scored, terms: _Terms) -> float:
        """The note's passages joined, and its exact tokens by their rarity."""
        score = note_score([score for score, _ in scored.passages], self._weights)
        if terms.tokens:
            only_machine = scored.machine_tokens - scored.tokens
            score += self._weights.token * _mean(terms.tokens, scored.tokens)
            score += self._weights.machine * _mean(terms.tokens, only_machine)
        return score

    def _answer(
        self, question: Question, ranked: list[tuple[float, int]], scored: Mapping[int, _Scored]
    ) -> Answer:
        def best(kind: Kind, limit: int) -> list[tuple[float, int]]:
            return [pair for pair in ranked if scored[pair[1]].kind == kind][:limit]

        cases = best("case", question.limit)
        articles = best("article", question.articles)
        stored = self.index.store.notes(number for _, number in (*cases, *articles))

        def hits(chosen: list[tuple[float, int]]) -> tuple[Hit, ...]:
            return tuple(_hit(stored[number], score, scored[number]) for score, number in chosen)

        return Answer(question, hits(cases), hits(articles), self.index.words_only)


def _mean(strengths: Mapping[str, float], stated: set[str]) -> float:
    """The strength of those tokens that are stated, shared out over all of the question's."""
    return sum(strengths[token] for token in stated) / len(strengths)


def _hit(stored: StoredNote, score: float, scored: _Scored) -> Hit:
    best = scored.passages[0][0]
    shown = [pair for pair in scored.passages[:SHOWN_PASSAGES] if pair[0] >= best - SHOWN_WITHIN]
    return Hit(
        note=stored.note,
        score=round(score, 4),
        passages=tuple(
            PassageHit(p.kind, p.first_line, p.last_line, p.text, round(s, 4)) for s, p in shown
        ),
        tokens=tuple(sorted(scored.tokens | scored.machine_tokens)),
        unread=stored.unread,
    )
