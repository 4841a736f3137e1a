"""The conditions of a whole case note: front matter and prose through the same reader."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from benchlore.language.agreement import contradicts
from benchlore.language.conditions import Reading, read_conditions, read_prose
from benchlore.language.vocabulary import Vocabulary, current

PROSE_WEIGHT = 0.7
"""Weight of what only the prose says: it wanders more than the front matter."""

WHERE_WEIGHT = 0.8


def read_note_conditions(
    symptom: str,
    present: Sequence[str] = (),
    absent: Sequence[str] = (),
    where: str = "",
    prose: str | Iterable[str] = "",
    vocabulary: Vocabulary | None = None,
) -> tuple[Reading, ...]:
    """Return the conditions of a note, front matter first.

    An item under `absent` is read as its contrary. A statement in front matter wins over prose that
    contradicts it. Sentences of prose that tell of checks, repairs, causes or outcomes give
    nothing. `start` and `end` of a reading count within the text it was read from. `prose` is the
    body as one text, or its paragraphs.
    """
    words = vocabulary or current()
    found: list[Reading] = []
    for item in present:
        _add(found, read_conditions(item, words))
    for item in absent:
        _add(found, map(_turned, _outright(read_conditions(item, words))))
    _add(found, _unless_denied(found, read_conditions(symptom, words)))
    places = (r for r in read_conditions(where, words) if r.axis == "place")
    _add(found, (replace(r, weight=r.weight * WHERE_WEIGHT) for r in places))
    stated = list(found)
    for text in (prose,) if isinstance(prose, str) else prose:
        said = _unless_denied(stated, read_prose(text, words))
        _add(found, (replace(r, weight=r.weight * PROSE_WEIGHT) for r in said))
    return tuple(found)


def _turned(reading: Reading) -> Reading:
    polarity = "absent" if reading.polarity == "present" else "present"
    return replace(reading, polarity=polarity, grade="")


def _outright(readings: Iterable[Reading]) -> list[Reading]:
    """Leave out "at any revs" of an absent item: it widens the item and denies no condition."""
    return [reading for reading in readings if reading.value != "any"]


def _unless_denied(stated: Sequence[Reading], said: Iterable[Reading]) -> list[Reading]:
    return [r for r in said if not any(contradicts(r, other) for other in stated)]


def _add(found: list[Reading], more: Iterable[Reading]) -> None:
    known = {(r.axis, r.value, r.polarity) for r in found}
    for reading in more:
        key = (reading.axis, reading.value, reading.polarity)
        if key not in known:
            known.add(key)
            found.append(reading)
