"""Which written causes are the same: "front wheel brg / worn" and "wheel bearing / failed"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from benchlore.language.named import listed, named, named_parts, words_of
from benchlore.language.things import Thing, alike, apart, read_things
from benchlore.language.vocabulary import Vocabulary, current

GENERAL = "general"


@dataclass(frozen=True, slots=True)
class CauseReading:
    """A cause as it is compared.

    Attributes:
        things: what failed; two where two are named ("condenser and screens").
        inner: the part of it that failed, where the fault names one ("brushes worn out").
        faults: kinds of failure; empty where none can be told.
        known: False where the note says that no cause was found.
    """

    things: tuple[Thing, ...]
    inner: Thing | None
    faults: frozenset[str]
    known: bool = True


def read_cause(part: str, fault: str = "", vocabulary: Vocabulary | None = None) -> CauseReading:
    """Read a cause as a note states it; any texts are accepted."""
    vocabulary = vocabulary or current()
    part_words, fault_words = words_of(part, vocabulary), words_of(fault, vocabulary)
    things = _things(part_words, vocabulary)
    faults = named(vocabulary, "faults")
    kinds = {kind for _, _, kind in faults.all(fault_words)}
    if not fault_words:
        kinds |= {kind for _, _, kind in faults.all(part_words)}
    inner = _inner(fault_words, vocabulary)
    return CauseReading(things, inner, frozenset(kinds), not _unknown(part, fault, vocabulary))


def same_cause(a: CauseReading, b: CauseReading, vocabulary: Vocabulary | None = None) -> bool:
    """Say whether a workshop would count two written causes as one; symmetric.

    The same part at places that do not exclude each other, and kinds of failure that agree. A side
    that is not said, and "failed" or "u/s", agree with all.
    """
    vocabulary = vocabulary or current()
    if not (a.known and b.known and _agree(a.faults, b.faults, vocabulary)):
        return False
    return any(_same(a, one, b, other, vocabulary) for one in a.things for other in b.things)


def same_part(a: CauseReading, b: CauseReading, vocabulary: Vocabulary | None = None) -> bool:
    """Say whether two causes are of one kind of part, wherever it sits and however it failed."""
    vocabulary = vocabulary or current()
    return any(alike(one, other, vocabulary) for one in a.things for other in b.things)


def _same(
    a: CauseReading, one: Thing, b: CauseReading, other: Thing, vocabulary: Vocabulary
) -> bool:
    if apart(one.places, other.places):
        return False
    if alike(one, other, vocabulary):
        if a.inner is None or b.inner is None:
            return True
        return alike(a.inner, b.inner, vocabulary) and not apart(a.inner.places, b.inner.places)
    # "alternator / brushes worn" and "alternator brushes / worn"
    return bool(
        (a.inner and alike(_within(a.inner, one), other, vocabulary))
        or (b.inner and alike(one, _within(b.inner, other), vocabulary))
    )


def _within(inner: Thing, thing: Thing) -> Thing:
    return replace(inner, words=inner.words | thing.words, beside=inner.beside | {thing.noun})


def _agree(a: frozenset[str], b: frozenset[str], vocabulary: Vocabulary) -> bool:
    opposite = _pairs(vocabulary, "fault_opposites")
    met = not a.isdisjoint(b)
    if not met and any(other in opposite.get(one, ()) for one in a for other in b):
        return False
    if met or not a or not b or GENERAL in a or GENERAL in b:
        return True
    kin = _pairs(vocabulary, "fault_kin")
    return any(other in kin.get(one, ()) for one in a for other in b)


@lru_cache(maxsize=8)
def _pairs(vocabulary: Vocabulary, section: str) -> Mapping[str, frozenset[str]]:
    """Return for each kind of failure the others that a section sets beside it, either way."""
    kin: dict[str, set[str]] = {}
    for kind, others in vocabulary.section(section).items():
        for other in others:
            kin.setdefault(kind, set()).add(other)
            kin.setdefault(other, set()).add(kind)
    return {kind: frozenset(others) for kind, others in kin.items()}


def _things(words: Sequence[str], vocabulary: Vocabulary) -> tuple[Thing, ...]:
    """Read the things of `words`, words of failure among them left out: "worn wheel bearing"."""
    faults, parts = named(vocabulary, "faults"), named_parts(vocabulary)
    kept: list[str] = []
    place = 0
    while place < len(words):
        end, _ = parts.at(words, place)
        if end > place:
            kept += words[place:end]
        else:
            end, _ = faults.at(words, place)
            if end == place:
                kept.append(words[place])
        place = max(end, place + 1)
    return read_things(kept, vocabulary) or read_things(words, vocabulary)


_CLAUSE_ENDS = frozenset(
    [",", ";", ".", ":", "so", "because", "after", "from", "since", "by", "which", "that", "when"]
)


def _clause(words: Sequence[str]) -> Sequence[str]:
    """The words up to where the fault goes on to tell why or what came of it."""
    for place, word in enumerate(words):
        if place and word in _CLAUSE_ENDS:
            return words[:place]
    return words


def _inner(words: Sequence[str], vocabulary: Vocabulary) -> Thing | None:
    """The part that a fault begins with ("brushes worn") or names behind a failure ("open diode").

    None where it begins with how it failed, or with what the thing itself is made of.
    """
    clause = _clause(words)
    faults = named(vocabulary, "faults").all(clause)
    stuff = listed(vocabulary, "plain_words", "stuff")
    if not faults:
        return None
    start, end, _ = faults[0]
    parts = named_parts(vocabulary)
    before = clause[:start]
    if before:
        found = read_things(before, vocabulary)
        if found and found[-1].noun not in stuff and not found[-1].noun.endswith("ly"):
            return found[-1]
        return None
    if end < len(clause):
        last, part = parts.at(clause, end)
        if part and not set(part.split()) <= stuff:
            found = read_things(clause[end:last], vocabulary)
            return found[0] if found else None
    return None


def _unknown(part: str, fault: str, vocabulary: Vocabulary) -> bool:
    if not part.strip() and not fault.strip():
        return True
    phrases = named(vocabulary, "unknown_phrases")
    return bool(phrases.all(words_of(part, vocabulary)) or phrases.all(words_of(fault, vocabulary)))
