"""Likely typos, folded to words of the vocabulary.

One edit (a letter left out, put in, exchanged, or two swapped) for words of five letters and more,
two for nine and more. Never a word that the vocabulary has itself, one of the plain English words
that lie close to one of its words, or anything with a digit.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

SHORTEST = 5
TWO_EDITS_FROM = 9
_ENDINGS = ("s", "es", "d", "ed", "ing", "er", "ers", "ly", "y")


def edits(one: str, other: str, most: int) -> int:
    """Return the optimal string alignment distance of two words, `most + 1` where it is more."""
    if abs(len(one) - len(other)) > most:
        return most + 1
    before: list[int] = []
    row = list(range(len(other) + 1))
    for i, letter in enumerate(one, 1):
        last, before, row = before, row, [i] + [0] * len(other)
        for j, against in enumerate(other, 1):
            cost = letter != against
            row[j] = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + cost)
            if cost and i > 1 and j > 1 and letter == other[j - 2] and one[i - 2] == against:
                row[j] = min(row[j], last[j - 2] + 1)
        if min(row) > most:
            return most + 1
    return row[-1]


class Spelling:
    """Folds misspelled words to known ones."""

    def __init__(
        self,
        words: Iterable[str],
        stems: Iterable[str],
        plain: Iterable[str],
        fixed: dict[str, str],
    ) -> None:
        self._words = frozenset(words)
        self._stems = frozenset(stems)
        self._known = self._words | frozenset(plain)
        self._fixed = fixed
        self._memo: dict[str, str] = {}

    def known(self, word: str) -> bool:
        """Say whether `word` stands as it is."""
        return word in self._known

    def right(self, word: str) -> str:
        """Return the word that `word` was probably meant to be; mostly itself."""
        found = self._memo.get(word)
        if found is None:
            found = self._fixed.get(word) or self._search(word)
            if len(self._memo) < 50_000:
                self._memo[word] = found
        return found

    def _search(self, word: str) -> str:
        if len(word) < SHORTEST or word in self._known or not word.isalpha():
            return word
        if self._inflected(word):
            return word
        most = 2 if len(word) >= TWO_EDITS_FROM else 1
        best: tuple[int, bool, str] = (most + 1, True, "")
        for letter in dict.fromkeys(word[:2]):  # the first letter is seldom wrong
            for known in self._near(word, letter, most):
                far = edits(word, known, most)
                if far <= most:
                    best = min(best, (far, letter != word[0], known))
        found = best[2]
        return found or word

    def _inflected(self, word: str) -> bool:
        """Say whether `word` is a form of a known one: corners, setting, tried."""
        if any(word[:size] in self._stems for size in range(max(3, len(word) - 4), len(word))):
            return True
        for end in _ENDINGS:
            if word.endswith(end):
                root = word[: -len(end)]
                doubled = len(root) > 3 and root[-1] == root[-2] and root[:-1] in self._known
                if root in self._known or root + "e" in self._known or doubled:
                    return True
        return False

    def _near(self, word: str, letter: str, most: int) -> Iterable[str]:
        """Return the words with that first letter that may be `most` edits from `word`.

        An edit changes the length by one at most, and brings in and takes out one letter at most.
        """
        letters = set(word)
        for size in range(len(word) - most, len(word) + most + 1):
            for known in self._by_size.get((letter, size), ()):
                if len(letters.difference(known)) <= most >= len(set(known) - letters):
                    yield known

    @cached_property
    def _by_size(self) -> dict[tuple[str, int], list[str]]:
        """The words by first letter and length."""
        found: dict[tuple[str, int], list[str]] = {}
        for word in self._words:
            if word.isalpha():
                found.setdefault((word[0], len(word)), []).append(word)
        return found
