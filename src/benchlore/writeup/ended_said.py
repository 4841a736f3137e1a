"""What a job card says it was, and how it ended. Nothing here is ever proved."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator, Sequence

from benchlore.language.causes import CauseReading, read_cause, same_part
from benchlore.language.vocabulary import Vocabulary
from benchlore.writeup.blame import blamed, cleaned, names_a_thing
from benchlore.writeup.dates import Dated
from benchlore.writeup.proposal import Found
from benchlore.writeup.statements import Statement

# How the end of a job is told on a card, the plainest first. Common practice, no source.
_ENDS = (
    ("declined", r"declined|refused|turned (?:it|the job|the quote) down|not going ahead"),
    ("not fixed", r"not (?:fixed|cured|sorted)|no better|(?:came|come|comes) back (?:again|\d|after"
                  r"|with|same|in)|fault (?:still )?(?:remains|present|there)"),
    ("fixed", r"(?<!not )(?:fixed|cured|sorted|solved)|all good|all ok|customer happy|cust happy"
              r"|(?:ok|good|quiet|fine|dry) on (?:road ?test|test|rt)"
              r"|(?:road ?test(?:ed)?|retest(?:ed)?|rt|test drive[nd]?)\s*(?:-\s*|:\s*)?"
              r"(?:[^.;]{0,20}, )?(?:ok(?:ay)?|good|fine|passed)\b"
              r"|(?:been )?(?:fine|ok|quiet|good) since|fault (?:gone|cleared)"
              r"|(?:ok|okay|fine|good|lovely|quiet|dry) now|no comebacks?"
              r"|no (?:further|more) (?:trouble|problems?|noise|complaints?|faults?)"),
    ("open", r"parts? on order|awaiting|waiting (?:on|for)|on order|monitoring"),
)  # fmt: skip
_ENDED = tuple((result, re.compile(rf"(?<!\w)(?:{words})(?!\w)", re.I)) for result, words in _ENDS)
_LABELLED = re.compile(r"(?:ok(?:ay)?|good|passed|fine)\b", re.I)

_REPLACED = re.compile(
    r"\b(?:(?:fitted|refitted|installed)\s+(?:a\s+|the\s+)?(?:new\s+|recon\s+|exchange\s+)?"
    r"(?:x\d\s+)?|(?:replaced|renewed|swapped|changed)\s+(?:the\s+|both\s+)?)"
    r"(?P<part>[^.;,:()\d\n]{3,40})"
    r"|(?P<before>[^.;,:()\d\n]{3,40}?)\s+(?:replaced|renewed|fitted new)\b",
    re.I,
)
_TRIAL = re.compile(r"\b(?:with|to|for|from|side to side|over|round)\b", re.I)


def outcome_said(
    said: Sequence[Statement], days: Sequence[Dated], today: datetime.date
) -> Iterator[Found]:
    """Yield how it ended, as the last statement says that tells it."""
    last: Found | None = None
    for statement in said:
        if statement.label in ("complaint", "findings"):
            continue
        told = _told(statement)
        if told is None:
            continue
        result, start, end = told
        value = {"result": result}
        day = _day(days, statement, said, today)
        if day is not None and result != "open":
            value["date"] = day.day.isoformat()
        last = Found("outcome", {**value}, start, end)
    if last is not None:
        yield last


def _told(statement: Statement) -> tuple[str, int, int] | None:
    for result, pattern in _ENDED:
        match = pattern.search(statement.said)
        if match is not None:
            return result, statement.start + match.start(), statement.start + match.end()
    labelled = _LABELLED.match(statement.said) if statement.label == "outcome" else None
    if labelled is not None:
        return "fixed", statement.start, statement.start + labelled.end()
    return None


def _day(
    days: Sequence[Dated], statement: Statement, said: Sequence[Statement], today: datetime.date
) -> Dated | None:
    """The day in the statement or behind it; else one alone on the card that is under no label."""
    past = [day for day in days if day.day <= today]
    behind = [day for day in past if day.start >= statement.start]
    if behind:
        return behind[0]
    headed = [s for s in said if s.label == "date"]
    free = [d for d in past if not any(s.start <= d.start < s.end for s in headed)]
    return free[0] if len(free) == 1 else None


def causes_said(
    text: str, said: Sequence[Statement], complaint: Sequence[Statement], fixed: bool,
    vocabulary: Vocabulary,
) -> Iterator[Found]:  # fmt: skip
    """Yield what it is said to have been: likely where it was replaced and cured, else suspected.

    A part that failed plainly and one that was replaced are one cause where they are one part.
    """
    blames: list[tuple[CauseReading, str, str, str, int, int]] = []
    replaced: list[tuple[CauseReading, str, int, int]] = []
    for statement in said:
        if statement in complaint or statement.label in ("complaint", "other", "vehicle"):
            continue
        for part, fault, certainty, start, end in blamed(statement, vocabulary):
            reading = read_cause(part, fault, vocabulary)
            if not any(same_part(reading, other[0], vocabulary) for other in blames):
                blames.append((reading, part, fault, certainty, start, end))
        for part, start, end in _replaced(statement):
            if names_a_thing(part, vocabulary):
                replaced.append((read_cause(part, "", vocabulary), part, start, end))
    for reading, part, fault, certainty, start, end in blames:
        swapped = any(same_part(reading, other[0], vocabulary) for other in replaced)
        sure = certainty == "likely" or (fixed and swapped)
        value = {"part": part, "fault": fault, "certainty": "likely" if sure else "suspected"}
        yield Found("causes", {k: v for k, v in value.items() if v}, start, end)
    if fixed and not blames and len(replaced) == 1:
        _, part, start, end = replaced[0]
        yield Found("causes", {"part": part, "certainty": "likely"}, start, end)


def _replaced(statement: Statement) -> Iterator[tuple[str, int, int]]:
    for match in _REPLACED.finditer(statement.said):
        group = "part" if match["part"] else "before"
        part = match[group].strip()
        if len(part.split()) <= 4 and not _TRIAL.search(part):
            first = match.start(group) + match[group].index(part)
            name = cleaned(part)
            first += part.index(name) if name in part else 0
            yield name, statement.start + first, statement.start + first + len(name)
