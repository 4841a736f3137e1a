"""Phrases of `vocabulary_findings.toml` found in a text, longest first, and words as they compare.

Words are lower case and singular; not stemmed: a "bearing" is no "bear".
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache

from benchlore.language.folding import normal_name
from benchlore.language.parts import singular
from benchlore.language.vocabulary import Vocabulary

_PIECE = re.compile(r"[^\W_]+|[,;:.&+()#]")
_ABBREVIATED = re.compile(r"(?<![^\W_])[a-z]+(?:/[a-z]+)*(?![^\W_])")
_APOSTROPHE = re.compile("['\N{RIGHT SINGLE QUOTATION MARK}]")

Pair = tuple[tuple[str, ...], str]
"""The words of a phrase, and what it stands for."""

Found = tuple[int, int, str]
"""Start and end of a phrase among the words, and what it stands for."""


class Named:
    """Phrases, each with what it stands for."""

    def __init__(self, phrases: Iterable[Pair]) -> None:
        """Take pairs of a phrase's words and what it stands for; the first of two alike counts."""
        self._by_first: dict[str, dict[tuple[str, ...], str]] = {}
        for words, meaning in phrases:
            if words:
                self._by_first.setdefault(words[0], {}).setdefault(words, meaning)
        self._sizes = {
            first: sorted({len(words) for words in found}, reverse=True)
            for first, found in self._by_first.items()
        }

    def at(self, words: Sequence[str], place: int) -> tuple[int, str]:
        """Return the end of the longest phrase at `place` and its meaning; `place`, "" for none."""
        found = self._by_first.get(words[place], {})
        for size in self._sizes.get(words[place], ()):
            meaning = found.get(tuple(words[place : place + size]))
            if meaning is not None and place + size <= len(words):
                return place + size, meaning
        return place, ""

    def all(self, words: Sequence[str]) -> list[Found]:
        """Return the phrases in `words`, in order; none overlap."""
        found = []
        place = 0
        while place < len(words):
            end, meaning = self.at(words, place)
            if end > place:
                found.append((place, end, meaning))
            place = max(end, place + 1)
        return found


def words_of(text: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    """Return the words of `text` in order, shorthand and likely typos folded, singular.

    Commas, brackets and the like stand among them as words of their own.
    """
    plain = " ".join(_ABBREVIATED.sub(_spelled_out(vocabulary), text.lower()).split())
    folded = _APOSTROPHE.sub("", normal_name(plain, vocabulary))
    return tuple((singular(piece) or (piece,))[0] for piece in _PIECE.findall(folded))


def _spelled_out(vocabulary: Vocabulary) -> Callable[[re.Match[str]], str]:
    short = _short(vocabulary)
    return lambda match: short.get(match.group(), match.group())


@lru_cache(maxsize=32)
def named(vocabulary: Vocabulary, section: str) -> Named:
    """Return the phrases of a section of lists, each meaning its key: `side.left` where nested.

    They are found as written and as texts are folded.
    """
    return Named(_both(_phrases(vocabulary.table(section)), vocabulary))


@lru_cache(maxsize=4)
def named_parts(vocabulary: Vocabulary) -> Named:
    """Return the names of parts, each meaning its head name."""
    systems = [vocabulary.table("more_names"), *vocabulary.table("subjects").values()]
    names = (
        (str(name), str(head))
        for system in systems
        if isinstance(system, Mapping)
        for head, others in system.items()
        for name in (head, *others)
    )
    return Named(_both(names, vocabulary))


def _both(pairs: Iterable[tuple[str, str]], vocabulary: Vocabulary) -> Iterable[Pair]:
    """Yield each phrase as written, then all of them as `words_of` folds them."""
    written = list(pairs)
    yield from ((singular(phrase), meaning) for phrase, meaning in written)
    yield from ((words_of(phrase, vocabulary), meaning) for phrase, meaning in written)


def _phrases(table: Mapping[str, object], lead: str = "") -> Iterable[tuple[str, str]]:
    for key, value in table.items():
        if isinstance(value, Mapping):
            yield from _phrases(value, f"{lead}{key}.")
        elif isinstance(value, list):
            yield from ((str(phrase), lead + key) for phrase in value)


@lru_cache(maxsize=32)
def listed(vocabulary: Vocabulary, section: str, key: str) -> frozenset[str]:
    """Return the single words of one list, as they compare."""
    words = vocabulary.table(section).get(key, ())
    return frozenset(word for phrase in words for word in singular(str(phrase)))


@lru_cache(maxsize=4)
def _short(vocabulary: Vocabulary) -> Mapping[str, str]:
    table = vocabulary.table("abbreviations")
    return {str(short): str(word) for short, word in table.items()}
