"""Which parts, fluids and fittings a text names, by one head name each.

"rotors", "disc rotor" and "brake disc" are one part. A question about a part that no note treats is
known by this for what it is, however many of its other words stand in the notes.
"""

from __future__ import annotations

import re
from functools import lru_cache

from benchlore.language.vocabulary import Vocabulary, current

_WORD = re.compile(r"[^\W_]+")
_APOSTROPHE = re.compile("['\N{RIGHT SINGLE QUOTATION MARK}]")
_Tree = dict[str, dict[tuple[str, ...], str]]


@lru_cache(maxsize=4)
def _names(vocabulary: Vocabulary) -> _Tree:
    """First word -> all words of a name -> head name."""
    found: _Tree = {}
    for system in vocabulary.table("subjects").values():
        for head, others in system.items() if isinstance(system, dict) else ():
            for name in (head, *others):
                words = singular(str(name))
                if words:
                    found.setdefault(words[0], {}).setdefault(words, str(head))
    return found


def parts(text: str, vocabulary: Vocabulary | None = None) -> tuple[str, ...]:
    """Return the head names of the parts that `text` names, in order, each once.

    Names inside a longer one count as well: a winch motor is of a winch.
    """
    names = _names(vocabulary or current())
    words = singular(text)
    found: dict[str, None] = {}
    for place, word in enumerate(words):
        here = [
            (len(name), head)
            for name, head in names.get(word, {}).items()
            if words[place : place + len(name)] == name
        ]
        found.update((head, None) for _, head in sorted(here, reverse=True))
    return tuple(found)


def singular(text: str) -> tuple[str, ...]:
    """The words of `text`, lower case, plurals taken off; not stemmed: a reverser is no reverse."""
    words = _WORD.findall(_APOSTROPHE.sub("", text.casefold()))
    return tuple(map(_one, words))


@lru_cache(maxsize=20_000)
def _one(word: str) -> str:
    if len(word) < 4 or not word.endswith("s") or word.endswith(("ss", "us", "is")):
        return word
    if word.endswith("ies"):
        return word[:-3] + "y"
    return word[:-2] if word.endswith(("shes", "ches", "xes", "sses", "zes")) else word[:-1]
