"""Words of a question that no note knows: slips, words run together, words torn apart.

The vocabulary folds what the trade writes; this mends what is left against the words that the
shop's own notes use. A word that the vocabulary knows is no slip and is left alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import pairwise

from benchlore.language import fold
from benchlore.language.spelling import Spelling
from benchlore.language.vocabulary import Vocabulary

_WORD = re.compile(r"[A-Za-z]+(?:['\N{RIGHT SINGLE QUOTATION MARK}][A-Za-z]+)*")
SHORTEST_HALF = 3
"""Letters that each half of two words run together must have at least."""


class ShopWords:
    """The search words of all notes, and the vocabulary that they were folded with."""

    def __init__(self, words: Iterable[str], vocabulary: Vocabulary) -> None:
        self._known = frozenset(word for word in words if word.isalpha())
        self._spelling = Spelling(self._known, (), (), {})
        self._vocabulary = vocabulary

    def mended(self, text: str) -> str:
        """Return `text` with the words that no note knows mended where that is safe."""
        return _WORD.sub(lambda match: self._mended(match.group()), text)

    def joined(self, text: str) -> list[str]:
        """Return the words that notes write as one where `text` has two: "anti freeze"."""
        words = [match.group().lower() for match in _WORD.finditer(text)]
        pairs = (one + two for one, two in pairwise(words))
        stems = (stem for pair in pairs if len(pair) > 2 * SHORTEST_HALF for stem in fold(pair))
        return [stem for stem in stems if stem in self._known]

    def _knows(self, word: str) -> bool:
        return all(stem in self._known for stem in fold(word))

    def _mended(self, written: str) -> str:
        word = written.lower()
        if self._knows(word) or self._vocabulary.spelling.known(word):
            return written
        if word.endswith("in") and self._knows(word + "g"):  # "hissin"
            return word + "g"
        halves = self._halves(word)
        if halves:
            return halves
        stems = fold(word)
        right = self._spelling.right(stems[0]) if len(stems) == 1 else ""
        return right if right and right != stems[0] else written

    def _halves(self, word: str) -> str:
        """Return "take up" for "takeup"; nothing where a half is no word of the notes."""
        for place in range(SHORTEST_HALF, len(word) - SHORTEST_HALF + 1):
            one, two = word[:place], word[place:]
            if fold(one) and fold(two) and self._knows(one) and self._knows(two):
                return f"{one} {two}"
        return ""
