"""How a case note will be read: conditions in words, verdicts of its checks, names of its causes.

Shown while a case is written up, so that what is misread is seen before it is saved. The texts
still hold whatever the note holds: pass them through `benchlore.text` to show them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from benchlore.language import Reading
from benchlore.language.agreement import agree
from benchlore.language.causes import read_cause
from benchlore.language.conditions import read_conditions
from benchlore.language.limits import Verdict, judge
from benchlore.language.note_conditions import item_conditions
from benchlore.language.things import Thing
from benchlore.language.vocabulary import Vocabulary
from benchlore.language.wording import in_words
from benchlore.language.words import STOP_WORDS
from benchlore.notes import Cause, Note
from benchlore.writeup.measured import limit_words, value_words, why_not

CONTRARY = -0.9
"""Agreement of what is said and what is denied from which on they cannot both be so: a part of a
range ("braking" and "braking under 25 mph") is not denied with it."""

_WORD = re.compile(r"[^\W_]+")
_SMALL = frozenset(["when", "once", "while", "always", "any", "engine", "time", "only"])

Where = Literal["symptom", "present", "absent"]


@dataclass(frozen=True, slots=True)
class ConditionRead:
    """One text that tells of conditions, and how it is read.

    Attributes:
        field, number: which text: the key, and the how manieth under it, from 0.
        words: the readings in words; empty where nothing was understood.
    """

    field: Where
    number: int
    text: str
    readings: tuple[Reading, ...]
    words: str


@dataclass(frozen=True, slots=True)
class Contradiction:
    """Two texts of which one denies what the other says, and that in words."""

    one: ConditionRead
    other: ConditionRead
    words: str


@dataclass(frozen=True, slots=True)
class CheckRead:
    """A check as it will be compared.

    Attributes:
        value, limit: as read, in words; empty where none was understood.
        verdict: within, beyond or none.
        why: why there is no verdict, in words; empty where there is one or nothing was measured.
    """

    number: int
    check: str
    value: str
    limit: str
    verdict: Verdict
    why: str

    @property
    def words(self) -> str:
        """`0.14 mm, beyond at most 0.05 mm`, or why it cannot be judged."""
        if self.verdict == "none":
            return ": ".join(part for part in (self.value, self.why) if part)
        return f"{self.value}, {self.verdict} {self.limit}"


@dataclass(frozen=True, slots=True)
class CauseRead:
    """A cause as it will be put together with others.

    Attributes:
        part: the names of what failed, as compared; empty where the cause says that none was found.
        place: where it sits, in words.
        faults: kinds of failure; empty where none can be told.
        known: False where the note says that no cause was found.
    """

    number: int
    part: str
    place: str
    faults: tuple[str, ...]
    known: bool


@dataclass(frozen=True, slots=True)
class Understood:
    """How a whole draft is read."""

    conditions: tuple[ConditionRead, ...]
    contradictions: tuple[Contradiction, ...]
    checks: tuple[CheckRead, ...]
    causes: tuple[CauseRead, ...]

    @property
    def not_understood(self) -> tuple[ConditionRead, ...]:
        """The texts under `present` and `absent` that no condition was read from."""
        return tuple(c for c in self.conditions if not c.readings and c.field != "symptom")


def understood(draft: Note, vocabulary: Vocabulary) -> Understood:
    """Read `draft` as a build and a search will."""
    conditions = tuple(_conditions(draft, vocabulary))
    return Understood(
        conditions,
        tuple(_contradictions(conditions)),
        tuple(
            _check(number, check.check, check.value, check.limit)
            for number, check in enumerate(draft.checks)
        ),
        tuple(_cause(number, cause, vocabulary) for number, cause in enumerate(draft.causes)),
    )


def _conditions(draft: Note, vocabulary: Vocabulary) -> Iterator[ConditionRead]:
    if draft.symptom is not None:
        text = draft.symptom.text
        readings = read_conditions(text, vocabulary)
        yield ConditionRead("symptom", 0, text, readings, in_words(readings))
    items: tuple[tuple[Where, tuple[str, ...]], ...] = (
        ("present", tuple(stated.text for stated in draft.present)),
        ("absent", tuple(stated.text for stated in draft.absent)),
    )
    for field, texts in items:
        for number, text in enumerate(texts):
            readings = item_conditions(text, vocabulary, denied=field == "absent")
            yield ConditionRead(field, number, text, readings, in_words(readings))


def _contradictions(conditions: tuple[ConditionRead, ...]) -> Iterator[Contradiction]:
    """What is denied outright against what is said to be so.

    "Idle hot or cold" denies neither hot nor cold: only an item that is one condition and no more
    denies it.
    """
    denied = [c for c in conditions if c.field == "absent" and _one_condition(c)]
    for said in conditions:
        if said.field == "absent" or not (said.field == "symptom" or _one_condition(said)):
            continue
        for other in denied:
            pairs = ((a, b) for a in said.readings for b in other.readings)
            pair = next(filter(_contrary, pairs), None)
            if pair is not None:
                words = f'"{said.text}" against "{other.text}": {in_words(pair)}'
                yield Contradiction(said, other, words)


def _contrary(pair: tuple[Reading, Reading]) -> bool:
    said, denied = pair
    return said.polarity == "present" and said.axis == denied.axis and agree(*pair) <= CONTRARY


def _one_condition(condition: ConditionRead) -> bool:
    """Say whether a text states conditions of one kind, and no word in it says more."""
    if len({reading.axis for reading in condition.readings}) != 1:
        return False
    rest = condition.text
    for reading in sorted(condition.readings, key=lambda r: -r.start):
        rest = rest[: reading.start] + " " + rest[reading.end :]
    return not any(
        word not in STOP_WORDS and word not in _SMALL for word in _WORD.findall(rest.lower())
    )


def _check(number: int, name: str, value: str, limit: str) -> CheckRead:
    verdict = judge(value, limit, name) if value and limit else "none"
    why = why_not(value, limit, name) if verdict == "none" and value else ""
    return CheckRead(number, name, value_words(value, name), limit_words(limit, name), verdict, why)


def _cause(number: int, cause: Cause, vocabulary: Vocabulary) -> CauseRead:
    reading = read_cause(cause.part, cause.fault, vocabulary)
    named = " and ".join(dict.fromkeys(_name(thing) for thing in reading.things))
    places = sorted({place for thing in reading.things for place in thing.places})
    return CauseRead(
        number,
        named if reading.known else "",
        ", ".join(f"{row} {value}" if value.isdigit() else value for row, value in places),
        tuple(kind.replace("_", " ") for kind in sorted(reading.faults)),
        reading.known,
    )


def _name(thing: Thing) -> str:
    """The head name where it is a known part, else the words that tell what it is."""
    if thing.head and set(thing.head.split()) <= thing.words:
        return thing.head
    return " ".join([*sorted(thing.words - {thing.noun}), thing.noun])
