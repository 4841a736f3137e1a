"""What a job card complains of: the symptom, when it shows and when it does not."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from benchlore.language import Reading
from benchlore.language.conditions import read_prose
from benchlore.language.note_conditions import item_conditions
from benchlore.language.quantities import read_quantities
from benchlore.language.vocabulary import Vocabulary
from benchlore.writeup.proposal import Found
from benchlore.writeup.statements import Statement

_LEAD = re.compile(
    r"(?:please|pls|can you|could you)\s+(?:look at|check|investigate|see)\s+[^,]{0,40},\s*"
    r"|.*?\b(?:cust(?:omer)?|owner|driver|client|drv|he|she|lady|c/s|operator)\s*"
    r"(?:says?|states?|reports?|reported|rpts|complains? of|reckons|said|complaining of)?"
    r"\s*(?:that\s+)?:?\s+"
    r"|.*?\b(?:c/o|because|complaining of|complains of|complaint of)\s+",
    re.I | re.S,
)
_SAYS = re.compile(
    r"\b(?:says?|states?|reports?|reported|rpts|complains?|reckons|said|complaining)\b|c/s", re.I
)
_MORE = re.compile(
    r"(?:only|not|never|worse|better|ok(?:ay)?|fine|good|quiet|always|mostly|also|gone|started"
    r"|(?:he|she|they|owner|customer) (?:says|said))\b",
    re.I,
)
_WORK = frozenset(["repair", "outcome", "check"])
_WRONG = frozenset(["bad", "lack", "gone", "failing", "refusal", "worse", "not", "no"])
_SPEED_OR_REVS = frozenset(["speed", "rotation", "temperature", "time", "distance"])
_LEFT_OUT = frozenset(["place"])
"""Axes that tell where, not when."""

_DENIED = re.compile(
    r"\b(?:not|never|nor)\s+(?:(?:at|in|on|when|after|with|under|over|going|a|the)\s+){0,2}$", re.I
)
"""Before words that are said not to be so, whatever was read."""

_LEAST_WEIGHT = 0.5
_WIDENED = 4
"""Words by which the words of a reading may be widened to say the same by themselves."""

_BESIDE = 2
"""Words that may stand beside a model and a meter: "1.2 petrol"."""

_NOTHING = re.compile(r"no\b.*\b(?:faults?|issues?|problems?|leaks?|noises?|codes?)\b", re.I)
_CODE = re.compile(r"\b[PCBU][0-3][0-9A-F]{3}\b")
_HEAD = re.compile(r"[^,]*,\s*")


def complaint_of(
    said: Sequence[Statement], machine: Sequence[Found], vocabulary: Vocabulary
) -> list[Statement]:
    """Return the statements that tell of the complaint, the one that says what it is first."""
    labelled = [s for s in said if s.label == "complaint"]
    if labelled:
        return labelled
    first = next((n for n, s in enumerate(said) if _complains(s, machine)), None)
    if first is None or any(_measured(s) for s in said[:first]):
        return []  # what comes behind the work is a finding
    found = [said[first]]
    for statement in said[first + 1 :]:
        if _worked(statement) or statement.label:
            break
        if _goes_on(statement, vocabulary):
            found.append(statement)
    return found


def _complains(statement: Statement, machine: Sequence[Found]) -> bool:
    if statement.label or _worked(statement) or _NOTHING.match(statement.said):
        return False
    if "hearsay" in statement.tags and _SAYS.search(statement.said):
        return True
    if statement.tags.isdisjoint(_WRONG):
        # "Batt flat after 2 days standing" has no word of complaint that is known
        named = any(statement.start <= f.start < statement.end for f in machine)
        return bool(statement.readings) and not named and len(statement.said.split()) > 3
    return len(statement.said.split()) > 1


def _goes_on(statement: Statement, vocabulary: Vocabulary) -> bool:
    """Say whether a statement behind the complaint tells more of it: "Only when hot"."""
    if not statement.readings:
        return False
    return bool(_MORE.match(statement.said) or read_prose(statement.said, vocabulary))


def _worked(statement: Statement) -> bool:
    """Say whether a statement tells of what was found or done."""
    if not statement.tags.isdisjoint(_WORK) or _measured(statement):
        return True
    code = _CODE.search(statement.said)
    return code is not None and (not code.start() or "bad" not in statement.tags)


def _measured(statement: Statement) -> bool:
    if statement.label in ("odometer", "vehicle", "other"):
        return False
    return any(
        q.dimension not in _SPEED_OR_REVS and q.unit for q in read_quantities(statement.said)
    )


def symptom_said(
    text: str, complaint: Sequence[Statement], machine: Sequence[Found]
) -> Iterator[Found]:
    """Yield the sentence that complains, without who said it and whose machine it is."""
    for statement in complaint[:1]:
        start = statement.start
        lead = _LEAD.match(text, start, statement.end) if not statement.label else None
        start = lead.end() if lead else _past(text, statement, machine)
        said = " ".join(text[start : statement.end].split())
        if len(said.split()) > 1:
            yield Found("symptom", said, start, statement.end)


def _past(text: str, statement: Statement, machine: Sequence[Found]) -> int:
    """Where a sentence goes on after "Pico 1.2 petrol, 63000 miles, "."""
    start = statement.start
    inside = [f for f in machine if statement.start <= f.start and f.end <= statement.end]
    while True:
        head = _HEAD.match(text, start, statement.end)
        if head is None:
            break
        named = [f for f in inside if start <= f.start < head.end()]
        rest = len(head[0].split()) - sum(len(text[f.start : f.end].split()) for f in named)
        if not named or rest > _BESIDE:
            break
        start = head.end()
    ends = [f.end for f in inside if f.start <= start < f.end or f.start == start]
    return min(statement.end, max(ends) + 1) if ends else start


def conditions_said(
    text: str, complaint: Sequence[Statement], vocabulary: Vocabulary
) -> Iterator[Found]:
    """Yield the conditions, each in the technician's own words.

    What stands alone in a list must say by itself what it said in its sentence: words that are read
    otherwise without the others are widened, or left out.
    """
    for statement in complaint:
        groups: dict[tuple[int, int, str], list[Reading]] = {}
        for reading in statement.readings:
            if reading.axis not in _LEFT_OUT and reading.weight >= _LEAST_WEIGHT:
                groups.setdefault((reading.start, reading.end, reading.polarity), []).append(
                    reading
                )
        for (start, end, polarity), readings in groups.items():
            if polarity == "present" and _DENIED.search(statement.said[:start]):
                continue
            span = _alone(statement.said, start, end, polarity, readings, vocabulary)
            if span is not None:
                words = " ".join(statement.said[span[0] : span[1]].split())
                place = statement.start
                yield Found(polarity, words, place + span[0], place + span[1])


def _alone(
    said: str, start: int, end: int, polarity: str, readings: Sequence[Reading],
    vocabulary: Vocabulary,
) -> tuple[int, int] | None:  # fmt: skip
    """The words around `said[start:end]` that by themselves say the same; None where none do."""
    meant = {(r.axis, r.value) for r in readings}
    for left, right in _wider(said, start, end):
        read = item_conditions(said[left:right], vocabulary, denied=polarity == "absent")
        found = {(r.axis, r.value) for r in read if r.polarity == polarity}
        others = {r.axis for r in read if r.polarity != polarity and r.value != "any"}
        if meant <= found and not others - {axis for axis, _ in meant}:
            return left, right
    return None


_WORD = re.compile(r"[^\s,;:()]+")
_GLUED = re.compile(r"(?:with|w/|at|in|on|over|under|after|from|below|above)$", re.I)


def _wider(said: str, start: int, end: int) -> Iterator[tuple[int, int]]:
    words = [match.span() for match in _WORD.finditer(said)]
    first = next((n for n, (_, e) in enumerate(words) if e > start), None)
    last = next((n for n, (_, e) in enumerate(words) if e >= end), None)
    if first is None or last is None:
        return
    # whole words: "at idle" rather than "idle"
    glued = first > 0 and _GLUED.match(said[slice(*words[first - 1])])
    if glued and not re.search(r"[,;:()]", said[words[first - 1][1] : words[first][0]]):
        yield words[first - 1][0], words[last][1]
    yield words[first][0], words[last][1]
    for more in range(1, _WIDENED):
        left, right = max(0, first - more), min(len(words) - 1, last + more)
        for from_, to in ((first, right), (left, last)):
            piece = said[words[from_][0] : words[to][1]]
            if not re.search(r"[,;:()]", piece):
                yield words[from_][0], words[to][1]
