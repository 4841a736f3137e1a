"""Which written checks are the same: "wheel bearing axial play" and "play at hub, dial gauge"."""

from __future__ import annotations

from dataclasses import dataclass

from benchlore.language.named import listed, named, words_of
from benchlore.language.things import Thing, alike, read_things
from benchlore.language.vocabulary import Vocabulary, current


@dataclass(frozen=True, slots=True)
class CheckReading:
    """A check as it is compared.

    Attributes:
        things: what was looked at or measured.
        measures: what of it was measured, by the names of the vocabulary: "play", "drop".
        circumstances: (row, value): ("heat", "hot").
        invasive: something has to be taken apart for it.
    """

    things: tuple[Thing, ...]
    measures: frozenset[str]
    circumstances: frozenset[tuple[str, str]]
    invasive: bool = False


def read_check(name: str, value: str = "", vocabulary: Vocabulary | None = None) -> CheckReading:
    """Read a check by its name and its value as written; any texts are accepted."""
    vocabulary = vocabulary or current()
    words = words_of(name, vocabulary)
    measures = {kind for _, _, kind in named(vocabulary, "measures").all(words)}
    told = {kind for _, _, kind in named(vocabulary, "circumstances").all(words)}
    circumstances = frozenset((row, at) for row, _, at in (kind.partition(".") for kind in told))
    means = listed(vocabulary, "invasive", "means")
    things = read_things([word for word in words if word not in means], vocabulary)
    opening = listed(vocabulary, "invasive", "words")
    invasive = not opening.isdisjoint(words)
    return CheckReading(things, frozenset(measures), circumstances, invasive)


def same_check(a: CheckReading, b: CheckReading, vocabulary: Vocabulary | None = None) -> bool:
    """Say whether a technician would put two checks into one row of findings; symmetric."""
    vocabulary = vocabulary or current()
    if a.measures and b.measures and a.measures.isdisjoint(b.measures):
        return False
    for row, value in a.circumstances:
        others = {other for r, other in b.circumstances if r == row}
        if others and value not in others:
            return False
    return any(alike(one, other, vocabulary) for one in a.things for other in b.things)
