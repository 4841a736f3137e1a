"""The conditions of a whole case note: front matter and prose through the same reader."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace

from benchlore.language.agreement import contradicts
from benchlore.language.conditions import Reading, read_conditions, read_prose
from benchlore.language.vocabulary import Vocabulary, current

PROSE_WEIGHT = 0.7
"""Weight of what only the prose says: it wanders more than the front matter."""

WHERE_WEIGHT = 0.8


Origin = tuple[str, int]
"""Which text a condition was read from: "present", "absent", "symptom", "where" or "prose", and
the how manieth of these, from 0."""


def note_conditions(
    symptom: str,
    present: Sequence[str] = (),
    absent: Sequence[str] = (),
    where: str = "",
    prose: str | Iterable[str] = "",
    vocabulary: Vocabulary | None = None,
) -> dict[Reading, Origin]:
    """Return the conditions of a note, front matter first, each with the text it was read from.

    An item under `absent` is read as its contrary. A statement in front matter wins over prose that
    contradicts it. Sentences of prose that tell of checks, repairs, causes or outcomes give
    nothing. `start` and `end` of a reading count within the text it was read from. `prose` is the
    body as one text, or its paragraphs.
    """
    words = vocabulary or current()
    found = _Found()
    for number, item in enumerate(present):
        found.add(item_conditions(item, words), ("present", number))
    for number, item in enumerate(absent):
        found.add(item_conditions(item, words, denied=True), ("absent", number))
    found.add(_unless_denied(found, read_conditions(symptom, words)), ("symptom", 0))
    places = (r for r in read_conditions(where, words) if r.axis == "place")
    found.add((replace(r, weight=r.weight * WHERE_WEIGHT) for r in places), ("where", 0))
    stated = list(found)
    for number, text in enumerate((prose,) if isinstance(prose, str) else prose):
        said = _unless_denied(stated, read_prose(text, words))
        weighed = (replace(r, weight=r.weight * PROSE_WEIGHT) for r in said)
        found.add(weighed, ("prose", number))
    return dict(found)


def item_conditions(
    text: str, vocabulary: Vocabulary | None = None, denied: bool = False
) -> tuple[Reading, ...]:
    """Return the conditions of one item of `present`, or of `absent` where it is `denied`."""
    readings = read_conditions(text, vocabulary)
    return tuple(map(_turned, _outright(readings))) if denied else readings


class _Found(dict[Reading, Origin]):
    """Conditions in the order in which they were read, each once."""

    def add(self, readings: Iterable[Reading], origin: Origin) -> None:
        known = {(r.axis, r.value, r.polarity) for r in self}
        for reading in readings:
            key = (reading.axis, reading.value, reading.polarity)
            if key not in known:
                known.add(key)
                self[reading] = origin


def _turned(reading: Reading) -> Reading:
    polarity = "absent" if reading.polarity == "present" else "present"
    return replace(reading, polarity=polarity, grade="")


def _outright(readings: Iterable[Reading]) -> list[Reading]:
    """Leave out "at any revs" of an absent item: it widens the item and denies no condition."""
    return [reading for reading in readings if reading.value != "any"]


def _unless_denied(stated: Collection[Reading], said: Iterable[Reading]) -> list[Reading]:
    return [r for r in said if not any(contradicts(r, other) for other in stated)]
