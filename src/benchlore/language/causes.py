"""Which written causes are the same: "front wheel brg / worn" and "wheel bearing / failed"."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from benchlore.language.named import (
    listed,
    named,
    named_parts,
    pairs,
    plain_words_of,
    split_at,
    stemmed,
    stems,
    words_of,
)
from benchlore.language.things import Thing, alike, apart, read_things
from benchlore.language.vocabulary import Vocabulary, current
from benchlore.language.words import STOP_WORDS

GENERAL = "general"


@dataclass(frozen=True, slots=True)
class CauseReading:
    """A cause as it is compared.

    Attributes:
        things: what failed; two where two are named ("condenser and screens").
        faults: kinds of failure; empty where none can be told.
        known: False where the note says that no cause was found.
        first: the kinds that the fault states first; what follows tells more, or what came of it.
        sides: inside or outside of the thing ("leaking outside").
        within: the parts of it that the fault names ("brushes worn out"), in order.
        words: the words of the fault, for those whose kind cannot be told.
        reach: the words of all its parts; another cause that has none of them is another.
    """

    things: tuple[Thing, ...]
    faults: frozenset[str]
    known: bool = True
    first: frozenset[str] = frozenset()
    sides: frozenset[str] = frozenset()
    within: tuple[Thing, ...] = ()
    words: frozenset[str] = frozenset()
    reach: frozenset[str] = frozenset()


def read_cause(part: str, fault: str = "", vocabulary: Vocabulary | None = None) -> CauseReading:
    """Read a cause as a note states it; any texts are accepted."""
    vocabulary = vocabulary or current()
    part_words, fault_words = words_of(part, vocabulary), words_of(fault, vocabulary)
    plain = plain_words_of(fault if fault_words else part, vocabulary)
    clauses = [_kinds(stems(clause), vocabulary) for clause in split_at(plain, _CLAUSE_ENDS)]
    plain = stems(plain)
    first: frozenset[str] = next(filter(None, clauses), frozenset())
    things = _things(part_words, vocabulary)
    within = _within_it(fault_words, vocabulary)
    return CauseReading(
        things=things,
        faults=first.union(*clauses),
        known=not _unknown((part_words, fault_words), vocabulary),
        first=first,
        sides=frozenset(side for _, _, side in stemmed(vocabulary, "fault_sides").all(plain)),
        within=within,
        words=frozenset(plain) - STOP_WORDS if fault_words else frozenset(),
        reach=_reach((*things, *within), vocabulary),
    )


def same_cause(a: CauseReading, b: CauseReading, vocabulary: Vocabulary | None = None) -> bool:
    """Say whether a workshop would count two written causes as one; symmetric.

    The same part at places that do not exclude each other, and kinds of failure that agree. A side
    that is not said, and "failed" or "u/s", agree with all.
    """
    if a.reach.isdisjoint(b.reach) or not (a.known and b.known):
        return False
    vocabulary = vocabulary or current()
    if not _agree(a, b, vocabulary):
        return False
    return any(_same(a, one, b, other, vocabulary) for one in a.things for other in b.things)


def same_part(a: CauseReading, b: CauseReading, vocabulary: Vocabulary | None = None) -> bool:
    """Say whether two causes are of one kind of part, wherever it sits and however it failed."""
    vocabulary = vocabulary or current()
    return any(alike(one, other, vocabulary) for one in a.things for other in b.things)


def _reach(things: Sequence[Thing], vocabulary: Vocabulary) -> frozenset[str]:
    kin = pairs(vocabulary, "noun_kin")
    names = (thing.words.union(kin.get(thing.noun, ()), thing.asides) for thing in things)
    return frozenset().union(*names)


def _same(
    a: CauseReading, one: Thing, b: CauseReading, other: Thing, vocabulary: Vocabulary
) -> bool:
    if apart(one.places, other.places):
        return False
    if alike(one, other, vocabulary):
        if not (a.within and b.within):
            return True
        return any(
            alike(piece, like, vocabulary) and not apart(piece.places, like.places)
            for piece in a.within
            for like in b.within
        )
    # "alternator / brushes worn" and "alternator brushes / worn"
    return (
        any(alike(_within(piece, one), other, vocabulary) for piece in a.within)
        or any(alike(one, _within(piece, other), vocabulary) for piece in b.within)
        or _piece(a, one, other, vocabulary)
        or _piece(b, other, one, vocabulary)
    )


def _piece(a: CauseReading, whole: Thing, piece: Thing, vocabulary: Vocabulary) -> bool:
    """Say whether `whole` failed as its piece does: a worn pump is one with worn bearings."""
    if a.within or whole.noun == piece.noun or not whole.words < piece.words:
        return False
    pieces = _pieces(vocabulary)
    return any(piece.noun in pieces.get(kind, ()) for kind in a.first)


@lru_cache(maxsize=4)
def _pieces(vocabulary: Vocabulary) -> Mapping[str, frozenset[str]]:
    section = vocabulary.section("fault_pieces")
    return {kind: frozenset(nouns) for kind, nouns in section.items()}


def _within(inner: Thing, thing: Thing) -> Thing:
    return replace(inner, words=inner.words | thing.words, beside=inner.beside | {thing.noun})


def _agree(a: CauseReading, b: CauseReading, vocabulary: Vocabulary) -> bool:
    """Say whether two causes may have failed in one way."""
    opposite = pairs(vocabulary, "fault_opposites")
    if a.sides and b.sides and a.sides.isdisjoint(b.sides):
        return False
    if not (a.faults and b.faults):
        # nothing said, or nothing that can be read: then a word in common has to tell
        said = a.words and b.words
        general = GENERAL in a.first or GENERAL in b.first
        return general or not said or not a.words.isdisjoint(b.words)
    if not a.first.isdisjoint(b.first):
        return True
    if any(other in opposite.get(one, ()) for one in a.first for other in b.first):
        return False
    if GENERAL in a.first or GENERAL in b.first:
        return True
    if not (a.first.isdisjoint(b.faults) and b.first.isdisjoint(a.faults)):
        return True
    kin = pairs(vocabulary, "fault_kin")
    return any(other in kin.get(one, ()) for one in a.first for other in b.first)


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


def _kinds(words: Sequence[str], vocabulary: Vocabulary) -> frozenset[str]:
    return frozenset(kind for _, _, kind in stemmed(vocabulary, "faults").all(words))


def _within_it(words: Sequence[str], vocabulary: Vocabulary) -> tuple[Thing, ...]:
    """The parts that the clauses of a fault begin with or name behind a failure."""
    found = (_inner(clause, vocabulary) for clause in split_at(words, _CLAUSE_ENDS))
    return tuple(thing for thing in found if thing is not None)


def _inner(clause: Sequence[str], vocabulary: Vocabulary) -> Thing | None:
    """The part that a clause begins with ("brushes worn") or names behind a failure ("open diode").

    None where it begins with how it failed, or with what the thing itself is made of.
    """
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


def _unknown(texts: Sequence[Sequence[str]], vocabulary: Vocabulary) -> bool:
    """Say whether a cause says that none was found; a word alone does so where it says no more."""
    phrases = named(vocabulary, "unknown_phrases")
    return not any(texts) or any(
        end - start > 1 or end - start == len(words)
        for words in texts
        for start, end, _ in phrases.all(words)
    )
