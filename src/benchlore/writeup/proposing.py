"""A pasted job card to what a case note could say, each a thing to accept or leave.

Every wrong proposal annoys and every right one saves keystrokes: what is not plainly said is not
proposed. Values are as typed; a cause is never proved by words alone.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache

from benchlore.language.causes import read_cause
from benchlore.language.vocabulary import Vocabulary
from benchlore.notes.lines import LineIndex
from benchlore.writeup.complaint import complaint_of, conditions_said, symptom_said
from benchlore.writeup.dates import days_in
from benchlore.writeup.ended_said import causes_said, outcome_said
from benchlore.writeup.findings_said import checks_said
from benchlore.writeup.machine_said import card_said, codes_said, day_said, machine_said
from benchlore.writeup.proposal import Found, Proposal
from benchlore.writeup.shop_words import ShopWords
from benchlore.writeup.statements import statements

__all__ = ["MAX_TEXT", "Proposal", "propose"]

MAX_TEXT = 8000
"""Characters of a text that are read: more than the longest job card."""

SYSTEMS = frozenset(
    (
        *("engine", "cooling", "fuel", "ignition", "exhaust", "charging", "starting"),
        *("transmission", "driveline", "brakes", "steering", "suspension", "wheels"),
        *("hvac", "body", "hydraulics"),
    )
)
"""Those of the vocabulary's tables of parts that are systems of the note format; not electrical,
under which the relays and wires of all of them stand."""

_ONCE = frozenset(["symptom", "date", "case", "by", "system", "outcome"])


def propose(
    text: str,
    vocabulary: Vocabulary,
    today: datetime.date,
    known: ShopWords | None = None,
) -> tuple[Proposal, ...]:
    """Return what `text` says, in the order of the note format; nothing is raised.

    `known` has the makes, models and engines that the shop has had. Days after `today` are none.
    """
    text = text[:MAX_TEXT]
    known = known or ShopWords(())
    said = statements(text, vocabulary)
    days = days_in(text)
    machine = _first_each(machine_said(text, said, known, today))
    complaint = complaint_of(said, machine, vocabulary)
    symptom = list(symptom_said(text, complaint, machine))
    conditions = list(conditions_said(text, complaint, vocabulary))
    codes = list(codes_said(text))
    told = (*machine, *symptom, *codes)
    checks = list(checks_said(text, said, told, vocabulary))
    outcome = list(outcome_said(said, days, today))
    fixed = any(isinstance(f.value, dict) and f.value.get("result") == "fixed" for f in outcome)
    causes = list(causes_said(text, said, complaint, fixed, vocabulary))
    found: list[Found] = [
        *card_said(text, said),
        *day_said(text, said, days, today),
        *machine,
        *symptom,
        *_system(causes, vocabulary),
        *conditions,
        *codes,
        *checks,
        *causes,
        *outcome,
    ]
    return tuple(_proposals(text, found))


def _proposals(text: str, found: Iterable[Found]) -> Iterator[Proposal]:
    """Yield each thing once, with its words and its line."""
    lines = LineIndex(text)
    seen: set[str] = set()
    for each in found:
        key = each.field if each.field in _ONCE else f"{each.field}\n{_key(each)}"
        if key in seen:
            continue
        seen.add(key)
        said = text[each.start : each.end]
        yield Proposal(each.field, each.value, said, lines.line(each.start))


def _key(found: Found) -> str:
    return str(found.value).casefold()


def _first_each(found: Iterable[Found]) -> list[Found]:
    """The first of each field: a card is of one machine."""
    return list({each.field: each for each in reversed(list(found))}.values())[::-1]


def _system(causes: Sequence[Found], vocabulary: Vocabulary) -> Iterator[Found]:
    """Yield the system of the parts that are blamed, where all are of one."""
    table = _systems(vocabulary)
    found: set[str] = set()
    for cause in causes:
        part = cause.value.get("part", "") if isinstance(cause.value, dict) else ""
        for thing in read_cause(str(part), "", vocabulary).things:
            found.add(table.get(thing.head, ""))
    if len(found) == 1 and found <= SYSTEMS:
        first = causes[0]
        yield Found("system", next(iter(found)), first.start, first.end)


@lru_cache(maxsize=4)
def _systems(vocabulary: Vocabulary) -> Mapping[str, str]:
    """Head name of a part -> the system under which the vocabulary has it."""
    return {
        str(head): system
        for system, heads in vocabulary.table("subjects").items()
        if isinstance(heads, Mapping)
        for head in heads
    }
