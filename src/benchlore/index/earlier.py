"""First diagnoses that were wrong: what was blamed or fitted before the machine came back."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from benchlore.language.causes import CauseReading, read_cause, same_part
from benchlore.language.parts import parts
from benchlore.language.vocabulary import Vocabulary
from benchlore.notes import Lines, Note, read_yes_no

# How a case tells of an earlier go at it: common practice, no source.
_EARLIER = re.compile(
    r"\b(?:first (?:visit|time|go|attempt)|earlier|before th(?:is|at)|previous(?:ly)?"
    r"|last (?:time|visit)|(?:days?|weeks?|months?|fortnight) (?:ago|before|earlier|later)"
    r"|(?:had|have) (?:already|just)"
    r"|(?-i:January|February|March|April|May|June|July|August|September|October|November|December)"
    r"|came back|back it came|was back|were back|own fault|should have|lasted"
    r"|second (?:go|visit|time))\b",
    re.I,
)
_FITTED = re.compile(
    r"\b(?:fitted|put (?:in|on|a|an|the|new)|changed|replaced|renewed|swapped|new|had the|exchanged"
    r"|blamed|condemned|sold (?:him|her|them)|cleaned|adjusted|bled|topped up|repaired|did the)\b",
    re.I,
)
_SENTENCE = re.compile(r"[^.!?\n]+(?:[.!?]+(?=\s|$)|$|\n)")
MOST_OF_A_CASE = 2
LONGEST = 240


@dataclass(frozen=True, slots=True)
class Earlier:
    """A part that was dealt with before, in the note's words, and where these stand."""

    what: str
    said: str
    first_line: int
    last_line: int


def earlier_diagnoses(
    note: Note, causes: Iterable[CauseReading], vocabulary: Vocabulary
) -> tuple[Earlier, ...]:
    """Return what `note` says was dealt with before and was not the cause; none without a comeback.

    `causes` are what it turned out to be.
    """
    if note.outcome is None or read_yes_no(note.outcome.comeback) is not True:
        return ()
    known = list(causes)
    found: dict[str, Earlier] = {}
    for text, lines in (*_tried(note), *_told(note)):
        for part in parts(text, vocabulary):
            reading = read_cause(part, "", vocabulary)
            if not any(same_part(reading, cause, vocabulary) for cause in known):
                earlier = Earlier(part, text[:LONGEST], lines.first, lines.last)
                found.setdefault(part, earlier)
                break
    return tuple(found.values())[:MOST_OF_A_CASE]


def tells_of_an_earlier_go(note: Note) -> bool:
    """Say whether `note` has words for an earlier repair or visit, wherever they stand."""
    blocks = [block.text for section in note.sections for block in section.blocks]
    told = [section.heading for section in note.sections] + blocks
    told += [route.route for route in note.routes]
    told += [f"{check.check}: {check.found}" for check in note.checks]
    return any(_EARLIER.search(text) for text in (note.title, *told))


def _tried(note: Note) -> Iterator[tuple[str, Lines]]:
    """Routes not taken and checks that say themselves that they were made before."""
    told = [(each.route, each.lines) for each in note.routes if not read_yes_no(each.chosen)]
    told += [(f"{check.check}: {check.found}", check.lines) for check in note.checks]
    yield from ((text, lines) for text, lines in told if _EARLIER.search(text))


def _told(note: Note) -> Iterator[tuple[str, Lines]]:
    """Sentences of the body that tell of an earlier repair."""
    for block in (block for section in note.sections for block in section.blocks):
        for match in _SENTENCE.finditer(block.text):
            sentence = match.group().strip()
            if _EARLIER.search(sentence) and _FITTED.search(sentence):
                yield sentence, block.lines
