"""What a few words name: "bearing, n/s/f wheel" is the thing wheel bearing, at the front left.

Two names are of one thing when they share the noun that says what it is, say nothing else that
parts them, and put it in no two different places. "Fan" and "fan motor", "brake hose" and "hose
clip" are two things by their nouns; "outer joint" and "inner joint" by their places.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from benchlore.language.named import listed, named, named_parts, pairs, split_at
from benchlore.language.vocabulary import Vocabulary
from benchlore.language.words import STOP_WORDS

Places = frozenset[tuple[str, str]]
"""(row, value): ("side", "left"), ("number", "3")."""

_MARKS = frozenset(",;:.&+()#")
_JOINS = frozenset({"&", "+", "and", "plus", "or"})
_ORDINALS = {
    "first": "1", "second": "2", "third": "3", "fourth": "4", "fifth": "5", "sixth": "6",
    "1st": "1", "2nd": "2", "3rd": "3", "4th": "4", "5th": "5", "6th": "6",
    "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6",
}  # fmt: skip
_GEARS = frozenset(name for name in _ORDINALS if name[-2:] in ("nd", "rd", "th"))
_TIMES = frozenset({"visit", "time", "hand", "go", "attempt", "opinion", "test"})
_COUNTED = frozenset({"no", "number", "#", "cylinder", "cyl", "pot", "bank"})
_NUMBER = re.compile(r"[1-9][0-9]?$")
_BOTH = "both"


@dataclass(frozen=True, slots=True)
class Thing:
    """A part, fluid or fitting as named.

    Attributes:
        noun: what it is; empty where only a place is named.
        asides: the nouns of asides, which may name it too ("wiper, link rod").
        words: all that tells what it is, the nouns among them.
        beside: the words right before the nouns.
        places: where it sits.
        head: the head name of the part where it is a known one, else "".
    """

    noun: str
    words: frozenset[str]
    asides: frozenset[str] = frozenset()
    beside: frozenset[str] = frozenset()
    places: Places = field(default=frozenset())
    head: str = ""


def read_things(words: Sequence[str], vocabulary: Vocabulary) -> tuple[Thing, ...]:
    """Return the things that `words` (see `named.words_of`) name, in order.

    "Condenser and screens" are two; "inner and outer bearing" is one, at either place.
    """
    things: list[Thing] = []
    waiting: Places = frozenset()
    for piece in split_at(words, _JOINS):
        thing = _read(piece, vocabulary)
        if thing.noun:
            things.append(replace(thing, places=thing.places | waiting))
            waiting = frozenset()
        elif things:
            things[-1] = replace(things[-1], places=things[-1].places | thing.places)
        else:
            waiting |= thing.places
    return tuple(things)


def alike(a: Thing, b: Thing, vocabulary: Vocabulary) -> bool:
    """Say whether two names are of the same kind of thing, wherever it sits; symmetric."""
    if not (a.noun and b.noun):
        return False
    if a.noun != b.noun and a.noun not in b.asides and b.noun not in a.asides:
        return b.noun in pairs(vocabulary, "noun_kin").get(a.noun, ()) and _differently_called(
            a, b, vocabulary
        )
    if a.asides and b.asides and a.asides.isdisjoint(b.asides):
        return False
    more, less = a.words - b.words, b.words - a.words
    if not (more and less):
        return True
    soft = listed(vocabulary, "plain_words", "holders")
    return len(a.words & b.words) > 1 and (more - a.asides <= soft or less - b.asides <= soft)


def _differently_called(a: Thing, b: Thing, vocabulary: Vocabulary) -> bool:
    """Say whether two names whose nouns are kin are of one thing: all else agrees."""
    kin = pairs(vocabulary, "noun_kin")
    one, other = a.words - {a.noun, *kin[a.noun]}, b.words - {b.noun, *kin[b.noun]}
    soft = listed(vocabulary, "plain_words", "holders") | listed(
        vocabulary, "plain_words", "matter"
    )
    return bool(one & other) and (one ^ other) <= soft


def apart(a: Places, b: Places) -> bool:
    """Say whether two names put a thing in different places."""
    for row in {row for row, _ in a} & {row for row, _ in b}:
        one = {value for r, value in a if r == row}
        other = {value for r, value in b if r == row}
        if _BOTH not in one | other and one.isdisjoint(other):
            return True
    return False


def _read(words: Sequence[str], vocabulary: Vocabulary) -> Thing:
    """Read one noun phrase.

    What follows a preposition tells more, but not what it is; what follows a comma may do either.
    """
    kept, places = _without_places(words, vocabulary)
    after = listed(vocabulary, "plain_words", "prepositions")
    nouns: list[str] = []
    told: set[str] = set()
    beside: set[str] = set()
    head = ""
    naming = True
    for piece in _pieces(kept, after, vocabulary):
        if piece[0] in after:
            naming, piece = not nouns, piece[1:]
        elif piece[0] in _MARKS:
            naming, piece = True, piece[1:]
        units = _units(piece, vocabulary)
        told.update(word for unit in units for word in unit.split())
        if naming and units:
            units = _without_matter(units, vocabulary)
            said = " ".join(units).split()
            nouns.append(said[-1])
            beside.update(said[-2:-1])
            head = head or units[-1]
    holders = listed(vocabulary, "plain_words", "holders")
    telling = [noun for noun in nouns if noun not in holders] if len(nouns) > 1 else nouns
    noun, *asides = telling or nouns[:1] or [""]
    return Thing(noun, frozenset(told), frozenset(asides), frozenset(beside), places, head)


def _pieces(
    words: Sequence[str], after: frozenset[str], vocabulary: Vocabulary
) -> list[Sequence[str]]:
    """Cut before every preposition and mark, which stays the first word of its piece.

    "Coil on plug" and other names of parts stay whole.
    """
    within = {
        place
        for start, end, _ in named_parts(vocabulary).all(words)
        for place in range(start + 1, end)
    }
    starts = [0]
    starts += [
        place
        for place, word in enumerate(words)
        if place and place not in within and (word in after or word in _MARKS)
    ]
    return [words[s:e] for s, e in zip(starts, [*starts[1:], len(words)], strict=True) if e > s]


def _units(words: Sequence[str], vocabulary: Vocabulary) -> list[str]:
    """Return the known parts by their head names and the other words that tell something."""
    parts = named_parts(vocabulary)
    plain = listed(vocabulary, "plain_words", "words")
    rows = listed(vocabulary, "plain_words", "where")
    units = []
    place = 0
    while place < len(words):
        end, part = parts.at(words, place)
        if part and not set(part.split()) <= plain | rows:
            units.append(part)
        elif not part:
            word = words[place]
            if word not in plain and word not in _MARKS and word not in STOP_WORDS:
                units.append(word)
        place = max(end, place + 1)
    return units


def _without_matter(units: list[str], vocabulary: Vocabulary) -> list[str]:
    """Take off words for what a thing is made of: a "filter element" is a filter."""
    matter = listed(vocabulary, "plain_words", "matter")
    while len(units) > 1 and units[-1] in matter:
        units = units[:-1]
    return units


def _without_places(words: Sequence[str], vocabulary: Vocabulary) -> tuple[list[str], Places]:
    """Part words and where they sit; a word of place that names a part with others stays as well.

    "Rear crank seal" and "crank rear seal" are one name; "top hose" keeps its word and says upper.
    """
    parts, places = named_parts(vocabulary), named(vocabulary, "places")
    kept: list[str] = []
    sits: set[tuple[str, str]] = set()
    place = 0
    while place < len(words):
        number, end = _numbered(words, place)
        if number:
            sits.add(("number", number))
            place = end
            continue
        end, _ = parts.at(words, place)
        if end > place + 1:
            within = (places.at(words, start)[1] for start in range(place, end))
            sits.update(_row(where) for where in within if where)
            kept += words[place:end]
        else:
            end, where = places.at(words, place)
            if where:
                sits.add(_row(where))
            else:
                kept.append(words[place])
        place = max(end, place + 1)
    return kept, frozenset(sits)


def _row(where: str) -> tuple[str, str]:
    row, _, value = where.partition(".")
    return row, value


def _numbered(words: Sequence[str], place: int) -> tuple[str, int]:
    """Read "no. 3", "cylinder two", "third": the number and where it ends; "" where none stands."""
    word = words[place]
    if word in _COUNTED:
        ahead = place + 1
        while ahead < len(words) and words[ahead] in (".", "#", "no", "number"):
            ahead += 1
        number = _ORDINALS.get(words[ahead], words[ahead]) if ahead < len(words) else ""
        if _NUMBER.match(number):
            return number, ahead + 1
    if word in _GEARS and (place + 1 == len(words) or words[place + 1] not in _TIMES):
        return _ORDINALS[word], place + 1
    if _NUMBER.match(word) and place and place == len(words) - 1:
        return word, place + 1
    return "", place
