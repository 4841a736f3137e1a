"""Which parts, fluids and fittings a text names, by one head name each.

"rotors", "disc rotor" and "brake disc" are one part. A question about a part that no note treats is
known by this for what it is, however many of its other words stand in the notes.
"""

from __future__ import annotations

from functools import lru_cache

from benchlore.language.vocabulary import Vocabulary, current
from benchlore.language.words import fold

_Tree = dict[str, dict[tuple[str, ...], str]]


@lru_cache(maxsize=4)
def _names(vocabulary: Vocabulary) -> _Tree:
    """First word -> all words of a name (stemmed) -> head name."""
    found: _Tree = {}
    for system in vocabulary.table("subjects").values():
        for head, others in system.items() if isinstance(system, dict) else ():
            for name in (head, *others):
                words = tuple(fold(str(name)))
                if words:
                    found.setdefault(words[0], {}).setdefault(words, str(head))
    return found


def parts(text: str, vocabulary: Vocabulary | None = None) -> tuple[str, ...]:
    """Return the head names of the parts that `text` names, in order, each once.

    Of names that overlap the longest counts: "brake light switch" is no brake light.
    """
    names = _names(vocabulary or current())
    words = fold(text)
    found: dict[str, None] = {}
    place = 0
    while place < len(words):
        here = [
            name
            for name in names.get(words[place], ())
            if tuple(words[place : place + len(name)]) == name
        ]
        if here:
            longest = max(here, key=len)
            found[names[words[place]][longest]] = None
            place += len(longest)
        else:
            place += 1
    return tuple(found)
