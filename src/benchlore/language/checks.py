"""Which written checks are the same: "wheel bearing axial play" and "play at hub, dial gauge"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from benchlore.language.named import (
    Named,
    listed,
    named,
    named_parts,
    pairs,
    part_nouns,
    split_at,
    words_of,
)
from benchlore.language.quantities import read_quantities
from benchlore.language.things import Thing, alike, apart, read_things
from benchlore.language.vocabulary import Vocabulary, current

_SIDES = frozenset({"side", "end", "number"})
"""Places at which one check is done on one vehicle or another."""

_BY_HAND = frozenset({"rocked"})
"""What play is felt by where nothing measures it."""

_WORD = re.compile(r"[^\W_]+")

_FASTEST = 6000
"""Revolutions a minute: a bare number from 1000 up to this is an engine speed."""

_POLE = re.compile(r"\b(batt\w*|bat|post|terminal)\s*([+-])(?=\s|$)", re.IGNORECASE)

_MARKS = frozenset(",;:.&+()#")


@dataclass(frozen=True, slots=True)
class CheckReading:
    """A check as it is compared.

    Attributes:
        things: what was looked at or measured.
        measures: what of it was measured, by the names of the vocabulary: "play", "drop".
        circumstances: (row, value): ("heat", "hot").
        invasive: something has to be taken apart for it.
        dimension: what the unit of its value is one of, "" where no unit tells.
        vague: the things are only what holds the one that was looked at: "steering".
        acts: what was done, where nothing was measured: "looked", "swapped".
    """

    things: tuple[Thing, ...]
    measures: frozenset[str]
    circumstances: frozenset[tuple[str, str]]
    invasive: bool = False
    dimension: str = ""
    acts: frozenset[str] = frozenset()
    vague: bool = False


def read_check(name: str, value: str = "", vocabulary: Vocabulary | None = None) -> CheckReading:
    """Read a check by its name and its value as written; any texts are accepted."""
    vocabulary = vocabulary or current()
    short = vocabulary.table("check_abbreviations")
    spelled = _WORD.sub(lambda word: str(short.get(word[0].lower(), word[0])), _signs(name))
    words = words_of(spelled, vocabulary)
    told, rest = _told(words, vocabulary)
    dimension = next((q.dimension for q in read_quantities(value) if q.dimension), "")
    measures = _narrowest(told["measures"], vocabulary)
    if not measures and dimension:
        measures = frozenset(vocabulary.section("dimension_measures").get(dimension, ()))
    circumstances = frozenset(
        (row, value)
        for row, _, at in (kind.partition(".") for kind in told["circumstances"])
        for value in at.split("_")
    )
    opening = listed(vocabulary, "invasive", "words")
    near, far = _things(rest, vocabulary)
    return CheckReading(
        things=near or far,
        measures=measures,
        circumstances=circumstances,
        invasive=not opening.isdisjoint(words),
        dimension=dimension,
        acts=told["acts"],
        vague=not near and bool(far),
    )


def same_check(a: CheckReading, b: CheckReading, vocabulary: Vocabulary | None = None) -> bool:
    """Say whether a technician would put two checks into one row of findings; symmetric."""
    vocabulary = vocabulary or current()
    if _clash(a, b):
        return False
    if not (a.dimension or b.dimension) and not _lone(vocabulary)[1].isdisjoint(a.acts & b.acts):
        return True
    if a.measures and b.measures:
        if a.measures.isdisjoint(b.measures):
            return False
    elif a.dimension or b.dimension or not _acts_agree(a, b, vocabulary):
        return False
    if a.dimension != b.dimension and a.dimension and b.dimension:
        kin = vocabulary.section("dimension_kin")
        if b.dimension not in kin.get(a.dimension, ()) and a.dimension not in kin.get(
            b.dimension, ()
        ):
            return False
    if not (a.things and b.things):
        return _told_without_thing(a, b, vocabulary)
    if not _lone(vocabulary)[0].isdisjoint(a.measures & b.measures):
        return True
    measured = bool(a.measures and b.measures) or not a.acts.isdisjoint(b.acts)
    if a.circumstances != b.circumstances and a.circumstances.isdisjoint(b.circumstances):
        # one of them says when, the other does not: a pressure is not the same at any time
        wide = listed(vocabulary, "wide_measures", "measures")
        if a.measures and b.measures and (a.measures & b.measures) <= wide:
            return False
    if any(_same(one, other, measured, vocabulary) for one in a.things for other in b.things):
        return True
    return a.vague != b.vague and _told_without_thing(a, b, vocabulary)


def _told_without_thing(a: CheckReading, b: CheckReading, vocabulary: Vocabulary) -> bool:
    """Say whether two checks, of which one names no thing, are one by what was measured or done.

    A measure that says no more than its unit needs circumstances in common.
    """
    wide = listed(vocabulary, "wide_measures", "measures")
    measured = a.measures & b.measures
    if measured:
        return not measured <= wide or bool(a.circumstances & b.circumstances)
    return bool(a.acts & b.acts)


def _acts_agree(a: CheckReading, b: CheckReading, vocabulary: Vocabulary) -> bool:
    one_side = a.acts | (_BY_HAND if "play" in a.measures else frozenset())
    other_side = b.acts | (_BY_HAND if "play" in b.measures else frozenset())
    if not (one_side and other_side):
        return not (a.measures or b.measures)
    kin = pairs(vocabulary, "act_kin")
    return not one_side.isdisjoint(other_side) or any(
        other in kin.get(one, ()) for one in one_side for other in other_side
    )


def _clash(a: CheckReading, b: CheckReading) -> bool:
    for row in {row for row, _ in a.circumstances} & {row for row, _ in b.circumstances}:
        one = {value for r, value in a.circumstances if r == row}
        if one.isdisjoint(value for r, value in b.circumstances if r == row):
            return True
    return False


def _same(one: Thing, other: Thing, measured: bool, vocabulary: Vocabulary) -> bool:
    """Say whether two things may be one; of what is measured a word in common is enough."""
    places = [frozenset(p for p in thing.places if p[0] not in _SIDES) for thing in (one, other)]
    return not apart(*places) and (
        alike(one, other, vocabulary)
        or (measured and _called_alike(one.words, other.words, vocabulary))
    )


def _called_alike(one: frozenset[str], other: frozenset[str], vocabulary: Vocabulary) -> bool:
    common = _common(vocabulary)
    return not (one & other) <= common and (one - other <= common or other - one <= common)


@lru_cache(maxsize=4)
def _common(vocabulary: Vocabulary) -> frozenset[str]:
    """Return the words that many things have in their names."""
    keys = ("holders", "matter", "words")
    return frozenset().union(*(listed(vocabulary, "plain_words", key) for key in keys))


@lru_cache(maxsize=4)
def _lone(vocabulary: Vocabulary) -> tuple[frozenset[str], frozenset[str]]:
    """Return the measures and the acts that tell by themselves what was looked at."""
    found = vocabulary.section("lone_findings")
    return frozenset(found.get("measures", ())), frozenset(found.get("acts", ()))


def _narrowest(measures: frozenset[str], vocabulary: Vocabulary) -> frozenset[str]:
    """Leave out what is said by a narrower one as well: a back pressure is a pressure."""
    wide = listed(vocabulary, "wide_measures", "measures")
    return frozenset(measures - wide) or measures


@lru_cache(maxsize=4)
def _telling(vocabulary: Vocabulary) -> tuple[tuple[str, Named], ...]:
    return tuple((name, named(vocabulary, name)) for name in ("circumstances", "measures", "acts"))


def _told(
    words: Sequence[str], vocabulary: Vocabulary
) -> tuple[dict[str, frozenset[str]], tuple[str, ...]]:
    """Return what `words` tell of measures, circumstances and acts, and the words left for things.

    A word of a part's name of several words tells nothing else: a "pressure cap" is no pressure.
    """
    found: dict[str, set[str]] = {"measures": set(), "circumstances": set(), "acts": set()}
    parts, means = named_parts(vocabulary), listed(vocabulary, "invasive", "means")
    rest: list[str] = []
    place = 0
    while place < len(words):
        end, _ = parts.at(words, place)
        told = place
        for name, phrases in _telling(vocabulary):
            stop, kind = phrases.at(words, place)
            if (kind and stop >= end) or (kind and end <= place + 1):
                found[name].add(kind)
                told = max(told, stop)
        if told == place and _is_speed(words[place]):
            found["circumstances"].add("running.fast")
        if told > place:
            measured = named(vocabulary, "measures").at(words, place)[0]
            rest += [",", *_parts_in(words[place:measured], vocabulary), ","]
        elif end > place:
            rest += words[place:end]
        elif words[place] not in means:
            rest.append(words[place])
        place = max(end if told == place else told, place + 1)
    return {name: frozenset(kinds) for name, kinds in found.items()}, tuple(rest)


def _signs(name: str) -> str:
    """Spell out the signs of a battery's poles."""
    return _POLE.sub(
        lambda pole: pole[1] + (" positive " if pole[2] == "+" else " negative "), name
    )


def _things(
    words: Sequence[str], vocabulary: Vocabulary
) -> tuple[tuple[Thing, ...], tuple[Thing, ...]]:
    """Read the things of a check, then what was taken off for it or holds the thing."""
    opening = listed(vocabulary, "invasive", "words")
    far_words = listed(vocabulary, "plain_words", "holders") | {"cylinder"}
    nouns = part_nouns(vocabulary)
    # What stands on either side of a mark or preposition may be what was looked at.
    cuts = listed(vocabulary, "plain_words", "prepositions") | _MARKS
    near: list[Thing] = []
    far: list[Thing] = []
    for piece in split_at(words, cuts):
        kept = [word for word in piece if word in nouns and word not in opening]
        away = not opening.isdisjoint(piece)
        for thing in read_things(kept, vocabulary):
            (far if away or thing.words <= far_words else near).append(thing)
    return tuple(near), tuple(far)


def _parts_in(words: Sequence[str], vocabulary: Vocabulary) -> Sequence[str]:
    """The parts that a phrase for a measure names as well: "pad lining left", "pump delivery"."""
    if len(words) < 2:
        return ()
    circumstances = named(vocabulary, "circumstances")
    return [
        word
        for start, end, _ in named_parts(vocabulary).all(words)
        for word in words[start:end]
        if end - start < len(words) and not circumstances.at(words, start)[1]
    ]


def _is_speed(word: str) -> bool:
    return len(word) == 4 and word.isdecimal() and 1000 <= int(word) <= _FASTEST
