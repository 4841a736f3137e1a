"""Phrases of `vocabulary_findings.toml` found in a text, longest first, and words as they compare.

Words are lower case and singular; not stemmed: a "bearing" is no "bear".
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from functools import lru_cache

from benchlore.language.folding import normal_name
from benchlore.language.parts import singular
from benchlore.language.spelling import Spelling
from benchlore.language.vocabulary import Vocabulary
from benchlore.language.words import fold

_PIECE = re.compile(r"[^\W_]+|[,;:.&+()#]")
_WORD = re.compile(r"[a-z]+")
_LONG_WORD = re.compile(r"(?<![^\W_])[a-z]{5,}(?![^\W_])")
_AMERICAN = re.compile(r"iz(?=(?:e|ed|er|es|ing|ation)$)")
_ABBREVIATED = re.compile(r"(?<![^\W_])[a-z]+(?:/[a-z]+)*(?![^\W_])")
_APOSTROPHE = re.compile("['\N{RIGHT SINGLE QUOTATION MARK}]")

_SHORT = 2

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

    @property
    def words(self) -> frozenset[str]:
        """All words of the phrases."""
        return frozenset(w for found in self._by_first.values() for phrase in found for w in phrase)

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
    """Return the words of `text` in order, names folded to head words, singular.

    Commas, brackets and the like stand among them as words of their own.
    """
    return _singular(normal_name(_mended(text, vocabulary), vocabulary), vocabulary)


def plain_words_of(text: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    """Return the words as `words_of` does, but none folded: "seized" is not "stuck"."""
    return _singular(_mended(text, vocabulary), vocabulary)


def _mended(text: str, vocabulary: Vocabulary) -> str:
    """Spell out short forms and mend likely typos."""
    plain = " ".join(_ABBREVIATED.sub(_spelled_out(vocabulary), text.lower()).split())
    return _LONG_WORD.sub(lambda match: _right(match.group(), vocabulary), plain)


@lru_cache(maxsize=50_000)
def _right(word: str, vocabulary: Vocabulary) -> str:
    """Mend a word to one of the trade, else to any that the vocabulary has."""
    trade = _trade_words(vocabulary)
    if word in trade or not trade.isdisjoint(singular(word)):
        return word
    mended = _spelling(vocabulary).right(word)
    return mended if mended != word else vocabulary.spelling.right(word)


def _singular(text: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    pieces = _PIECE.findall(_APOSTROPHE.sub("", text))
    return _alike(((singular(piece) or (piece,))[0] for piece in pieces), vocabulary)


def _alike(words: Iterable[str], vocabulary: Vocabulary) -> tuple[str, ...]:
    """Put one word for those that mean the same, and British endings for American ones."""
    same = _same_words(vocabulary)
    return tuple(same.get(word, word) for word in map(_british, words))


@lru_cache(maxsize=20_000)
def _british(word: str) -> str:
    return _AMERICAN.sub("is", word) if len(word) > 5 else word


def _spelled_out(vocabulary: Vocabulary) -> Callable[[re.Match[str]], str]:
    short = _short(vocabulary)
    return lambda match: short.get(match.group(), match.group())


@lru_cache(maxsize=4)
def _same_words(vocabulary: Vocabulary) -> Mapping[str, str]:
    table = vocabulary.section("same_words")
    return {other: word for word, others in table.items() for other in others}


@lru_cache(maxsize=4)
def _spelling(vocabulary: Vocabulary) -> Spelling:
    """Mends to words of parts, failures and checks alone: "frection" is friction, no fraction."""
    plain = " ".join(vocabulary.section("spelling").get("plain", ())).split()
    fixed = vocabulary.table("spelling").get("fixed", {})
    trade = _trade_words(vocabulary)
    known = {*vocabulary.spelled_words, *plain, *trade}
    slips = {str(wrong): str(word) for wrong, word in fixed.items()}
    return Spelling((word for word in trade if len(word) > 4), (), known, slips)


@lru_cache(maxsize=4)
def _trade_words(vocabulary: Vocabulary) -> frozenset[str]:
    trade: set[str] = set()
    for section in ("more_names", "same_words", "subjects"):
        for phrase in _texts(vocabulary.table(section)):
            trade.update(_WORD.findall(phrase))
    for section in ("faults", "measures", "circumstances"):
        for phrase, _ in _phrases(vocabulary.table(section)):
            trade.update(_WORD.findall(phrase))
    return frozenset(trade)


def _texts(value: object) -> Iterable[str]:
    """Yield every key and phrase below a table."""
    if isinstance(value, Mapping):
        for key, below in value.items():
            yield str(key)
            yield from _texts(below)
    elif isinstance(value, list):
        yield from map(str, value)


def split_at(words: Sequence[str], marks: Collection[str]) -> list[Sequence[str]]:
    """Return the pieces of `words` between `marks`, empty ones left out."""
    pieces: list[Sequence[str]] = []
    start = 0
    for place, word in enumerate(words):
        if word in marks:
            pieces.append(words[start:place])
            start = place + 1
    return [piece for piece in (*pieces, words[start:]) if piece]


@lru_cache(maxsize=32)
def named(vocabulary: Vocabulary, section: str) -> Named:
    """Return the phrases of a section of lists, each meaning its key: `side.left` where nested.

    They are found as written and as texts are folded.
    """
    return Named(_both(_phrases(vocabulary.table(section)), vocabulary))


@lru_cache(maxsize=8)
def stemmed(vocabulary: Vocabulary, section: str) -> Named:
    """Return the phrases of a section by the stems of their words, see `stems`."""
    phrases = _phrases(vocabulary.table(section))
    return Named((stems(_plain(phrase, vocabulary)), kind) for phrase, kind in phrases)


def stems(words: Sequence[str]) -> tuple[str, ...]:
    """Return words that compare whatever their endings: leaks, leaking and leaked are one."""
    return tuple(map(_stem, words))


@lru_cache(maxsize=20_000)
def _stem(word: str) -> str:
    return (fold(word) or [word])[0]


@lru_cache(maxsize=4)
def named_parts(vocabulary: Vocabulary) -> Named:
    """Return the names of parts, each meaning its head name as it compares."""
    systems = [vocabulary.table("more_names"), *vocabulary.table("subjects").values()]
    names = (
        (str(name), " ".join(_alike(singular(str(head)), vocabulary)))
        for system in systems
        if isinstance(system, Mapping)
        for head, others in system.items()
        for name in (head, *others)
    )
    return Named(_both(_with_joined(names), vocabulary))


def _with_joined(names: Iterable[tuple[str, str]]) -> Iterable[tuple[str, str]]:
    """Yield the names, then those of two words written as one: "slidepin"."""
    written = list(names)
    yield from written
    for name, head in written:
        one, _, other = name.partition(" ")
        if min(len(one), len(other)) > _SHORT and " " not in other:
            yield one + other, head


def _both(pairs: Iterable[tuple[str, str]], vocabulary: Vocabulary) -> Iterable[Pair]:
    """Yield each phrase as written, then all of them as `words_of` folds them."""
    written = list(pairs)
    yield from ((_alike(singular(phrase), vocabulary), meaning) for phrase, meaning in written)
    yield from ((_folded(phrase, vocabulary), meaning) for phrase, meaning in written)


FOLDED, PLAIN = "names folded", "names plain"
"""Tables of the compiled vocabulary: phrases whose words are not what is written."""


def compiled_names(vocabulary: Vocabulary) -> dict[str, dict[str, str]]:
    """Return for `vocabulary.compiled` what `words_of` and `plain_words_of` make of the phrases.

    Folding ten thousand of them takes a second.
    """
    phrases = {str(name) for name in _texts(vocabulary.table("more_names"))}
    phrases |= set(_texts(vocabulary.table("subjects")))
    phrases = {name for name, _ in _with_joined((name, "") for name in phrases)}
    for section in vocabulary.names:
        phrases.update(phrase for phrase, _ in _phrases(vocabulary.table(section)))
    tables: dict[str, dict[str, str]] = {FOLDED: {}, PLAIN: {}}
    for phrase in sorted(phrases):
        if "\t" in phrase or "\n" in phrase:
            continue
        written = _alike(singular(phrase), vocabulary)
        for name, read in ((FOLDED, words_of), (PLAIN, plain_words_of)):
            words = read(phrase, vocabulary)
            if words != written:
                tables[name][phrase] = " ".join(words)
    return tables


def _folded(phrase: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    return _compiled(FOLDED, phrase, vocabulary) or words_of(phrase, vocabulary)


def _plain(phrase: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    return _compiled(PLAIN, phrase, vocabulary) or plain_words_of(phrase, vocabulary)


def _compiled(name: str, phrase: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    """The words of a phrase as compiled; none where there is no such table, or a shop's own words
    fold to others."""
    table = vocabulary.compiled_tree(name)
    if not table or vocabulary.own_words:
        return ()
    words = table.get(phrase)
    return tuple(words.split(" ")) if words else _alike(singular(phrase), vocabulary)


def _phrases(table: Mapping[str, object], lead: str = "") -> Iterable[tuple[str, str]]:
    for key, value in table.items():
        if isinstance(value, Mapping):
            yield from _phrases(value, f"{lead}{key}.")
        elif isinstance(value, list):
            yield from ((str(phrase), lead + key) for phrase in value)


@lru_cache(maxsize=32)
def listed(vocabulary: Vocabulary, section: str, key: str) -> frozenset[str]:
    """Return the single words of one list, as they compare."""
    phrases = vocabulary.table(section).get(key, ())
    words = (word for phrase in phrases for word in singular(str(phrase)))
    return frozenset(_alike(words, vocabulary))


@lru_cache(maxsize=4)
def _short(vocabulary: Vocabulary) -> Mapping[str, str]:
    table = vocabulary.table("abbreviations")
    return {str(short): str(word) for short, word in table.items()}


@lru_cache(maxsize=8)
def pairs(vocabulary: Vocabulary, section: str) -> Mapping[str, frozenset[str]]:
    """Return for each word of a section the others that stand beside it there, either way."""
    kin: dict[str, set[str]] = {}
    for kind, others in vocabulary.section(section).items():
        for other in others:
            kin.setdefault(kind, set()).add(other)
            kin.setdefault(other, set()).add(kind)
    return {kind: frozenset(others) for kind, others in kin.items()}


@lru_cache(maxsize=4)
def part_nouns(vocabulary: Vocabulary) -> frozenset[str]:
    """Return the words that the names of parts are made of."""
    words = named_parts(vocabulary).words
    return frozenset(word for word in words if len(word) > 1 and word.isalpha())
