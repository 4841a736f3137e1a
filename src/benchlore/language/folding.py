"""Shop language to head words for search: shorthand, synonyms, slang, units, likely typos.

Folding is for finding, not for showing: both notes and queries go through it, so that "n/s/f whl
brg" meets "nearside front wheel bearing". What is not in the vocabulary stays as it is written.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

from benchlore.language.phrases import Phrases
from benchlore.language.scanning import Token, scan
from benchlore.language.vocabulary import Vocabulary, current

REACH = 4
"""Words either side that may tell what an ambiguous abbreviation means."""

_SECTIONS = ("symptoms", "synonyms", "shorthand", "unit_spellings")
_OF_NAMES = ("synonyms", "shorthand")
"""Of names of parts and failures: "sticking" is a failure of its own there, no heavy steering."""


@dataclass(frozen=True)
class Sense:
    """One meaning of an ambiguous abbreviation, and the words beside which it has it."""

    means: str
    beside: frozenset[str]


class Folding:
    """Folds texts by one vocabulary."""

    def __init__(self, vocabulary: Vocabulary, names: bool = False) -> None:
        """With `names`, words for symptoms and units stay as they are, and typos as well."""
        self._vocabulary = vocabulary
        self._mends = not names
        self._tree = folding_phrases(vocabulary, names)
        self._senses = _senses(vocabulary)
        # A shop may name any word as the head; folded notes hold what that word itself folds to.
        own = {word: self.normal(head) for word, head in vocabulary.own_words.items()}
        for word, head in own.items():
            self._tree.add((word,), ("own", head), {})

    @cached_property
    def _heads(self) -> dict[str, set[str]]:
        """The other ways of writing each head word."""
        heads: dict[str, set[str]] = {}
        for section in _SECTIONS:
            for head, words in self._vocabulary.section(section).items():
                heads.setdefault(head, set()).update(words)
        return heads

    def normal(self, text: str) -> str:
        """Return `text` with its words folded, in lower case; anything else stays in place."""
        tokens = scan(text)
        right = self._vocabulary.spelling.right
        for token in tokens:
            if self._mends and token.kind == "word":
                token.text = right(token.text)
        pieces: list[str] = []
        place, done = 0, 0
        while place < len(tokens):
            end, head = self._folded(tokens, place)
            token = tokens[place]
            pieces.append(text[done : token.start].lower())
            if head:
                pieces.append(head)
            else:
                end = place + 1
                word = token.kind == "word" and token.text.isalpha()
                pieces.append(token.text if word else text[token.start : token.end].lower())
            done = tokens[end - 1].end
            place = end
        pieces.append(text[done:].lower())
        return " ".join("".join(pieces).split())

    def _folded(self, tokens: Sequence[Token], place: int) -> tuple[int, str]:
        """Return the end and the head word of the longest phrase that starts at `place`."""
        end, meanings = self._tree.longest(tokens, place)
        if end == place:
            return place, ""
        kinds = dict(reversed(meanings))
        if "own" in kinds:  # the shop's word comes first
            return end, kinds["own"]
        if "open" in kinds:
            sense = self._sense(kinds["open"], tokens, place, end)
            if sense:
                return end, sense
        return (end, kinds["fold"]) if "fold" in kinds else (place, "")

    def _sense(self, word: str, tokens: Sequence[Token], first: int, last: int) -> str:
        """Tell an ambiguous abbreviation by the words next to it; "" leaves it open."""
        near = [tokens[i].text for i in range(max(0, first - REACH), first)]
        near += [token.text for token in tokens[last : last + REACH]]
        return next((s.means for s in self._senses[word] if not s.beside.isdisjoint(near)), "")

    def expanded(self, word: str) -> tuple[str, ...]:
        """Return the other ways of writing a word: its head, its row, its possible senses."""
        tokens = scan(word)
        found = [sense.means for sense in self._senses.get(word.lower(), ())]
        end, meanings = self._tree.longest(tokens, 0) if tokens else (0, ())
        heads = [value for kind, value in meanings if kind in ("fold", "own")]
        if not (end == len(tokens) and heads):
            heads = [word.lower()] if word.lower() in self._heads else []
        for head in heads:
            found += [head, *sorted(self._heads.get(head, ()))]
        return tuple(dict.fromkeys(item for item in found if item != word.lower()))


def folding_phrases(vocabulary: Vocabulary, names: bool = False) -> Phrases:
    """Return the phrases that are folded, those of the shop left out; see `Folding`.

    Kinds: "fold" (value: the head word), "open" (an abbreviation with several senses).
    """
    made = vocabulary.compiled_tree("naming" if names else "folding")
    if made:
        return Phrases(made)
    tree = Phrases()
    for section in _OF_NAMES if names else _SECTIONS:
        for head, words in vocabulary.section(section).items():
            tree.add([head, *words], ("fold", head), {})
    for word in _senses(vocabulary):
        tree.add((word,), ("open", word), {})
    return tree


def _senses(vocabulary: Vocabulary) -> dict[str, list[Sense]]:
    found: dict[str, list[Sense]] = {}
    for word, senses in vocabulary.table("ambiguous").items():
        for sense in senses if isinstance(senses, list) else ():
            if isinstance(sense, dict) and isinstance(sense.get("means"), str):
                beside = frozenset(str(item) for item in sense.get("with", ()))
                found.setdefault(str(word), []).append(Sense(sense["means"], beside))
    return found


@lru_cache(maxsize=8)
def _folding(vocabulary: Vocabulary, names: bool = False) -> Folding:
    return Folding(vocabulary, names)


def normal(text: str, vocabulary: Vocabulary | None = None) -> str:
    """Return `text` folded to head words for search; any text, also an empty one, is accepted."""
    return _folding(vocabulary or current()).normal(text)


def normal_name(text: str, vocabulary: Vocabulary | None = None) -> str:
    """Return `text`, the name of a part, a failure or a check, folded to head words.

    Likely typos are left to the caller, who knows that it reads the name of a thing.
    """
    return _folding(vocabulary or current(), names=True).normal(text)


def expanded(word: str, vocabulary: Vocabulary | None = None) -> tuple[str, ...]:
    """Return other words for `word`: head, synonyms, and every sense of an abbreviation."""
    return _folding(vocabulary or current()).expanded(word)
