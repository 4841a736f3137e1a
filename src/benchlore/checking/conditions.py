"""Conditions that a note states both under present and under absent."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

from benchlore.checking.model import Seen
from benchlore.checking.places import Places
from benchlore.language import Reading, read_conditions
from benchlore.language.agreement import agree
from benchlore.language.spans import is_range
from benchlore.language.vocabulary import Vocabulary
from benchlore.language.words import fold
from benchlore.notes import Note, Stated

_CONTRARY = -0.999
"""Agreement up to which one reading denies the other altogether."""

_MOST = 50
"""Items of a list that are compared with those of the other."""

_EXACT = frozenset({"steer", "rpm"})
"""Axes whose values mean one thing however it is said: "turning left", "left-handers"."""

_NOTHING_MORE = frozenset(fold("engine motor car van truck tractor vehicle machine when while"))
"""Words that narrow no condition down: an "engine cold" is "cold"."""


def contradictions(note: Note, places: Places, vocabulary: Vocabulary) -> Iterator[Seen]:
    """Name each item under absent that holds wherever an item under present does.

    "Turning left" under absent contradicts "loaded, turning left" under present, as the second
    cannot be without the first; the other way round it narrows it down, and is no contradiction.
    """
    stated = note.present[:_MOST]
    for absent in note.absent[:_MOST]:
        present = next((p for p in stated if _denied(p.text, absent.text, vocabulary)), None)
        if present is not None:
            what = f"'{_short(absent)}' under absent is what '{_short(present)}' under present says"
            at = places.value(absent.lines, "absent", absent.text)
            yield Seen("conditions", at, what, "take out the one that is wrong")


def _short(said: Stated) -> str:
    return " ".join(said.text.split())


def _denied(present: str, absent: str, vocabulary: Vocabulary) -> bool:
    """Say whether `absent` denies all that `present` states."""
    said, denied = fold(present), fold(absent)
    if said == denied:
        return bool(said) and present.casefold().split() == absent.casefold().split()
    readings = _readings(absent, vocabulary)
    if not readings:
        return False
    unread = set(fold(_unread(absent, readings)))
    if not unread <= set(said):
        return False  # it says more than was understood
    stated = _readings(present, vocabulary)
    return all(any(_holds(one, other) for one in stated) for other in readings)


def _holds(stated: Reading, denied: Reading) -> bool:
    """Say whether `denied` holds wherever `stated` does."""
    if denied.polarity != "present" or denied.grade or stated.grade == "better":
        return False  # "better when hot" is neither present nor absent
    if "any" in (stated.value, denied.value) or stated.axis != denied.axis:
        return False
    if agree(stated, replace(denied, polarity="absent")) > _CONTRARY:
        return False
    if is_range(denied.value) or denied.axis in _EXACT:
        return True
    # "small trailer" and "big trailer" are both towing: the words have to be the same as well
    return set(fold(denied.text)) - _NOTHING_MORE <= set(fold(stated.text))


def _unread(text: str, readings: tuple[Reading, ...]) -> str:
    """`text` without the words that were read."""
    kept = list(text)
    for reading in readings:
        kept[reading.start : reading.end] = " " * (reading.end - reading.start)
    return "".join(kept)


@lru_cache(maxsize=20_000)
def _readings(text: str, vocabulary: Vocabulary) -> tuple[Reading, ...]:
    return read_conditions(text, vocabulary)
