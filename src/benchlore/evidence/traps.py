"""First diagnoses that were wrong: what was blamed or fitted before the machine came back."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from benchlore.evidence.gathering import Case, came_back, ended
from benchlore.evidence.model import Trap
from benchlore.language.causes import read_cause, same_part
from benchlore.language.parts import parts
from benchlore.language.vocabulary import Vocabulary
from benchlore.notes import Lines, read_yes_no

# How a case tells of an earlier go at it: common practice, no source.
_EARLIER = re.compile(
    r"\b(?:first (?:visit|time|go|attempt)|earlier|before th(?:is|at)|previous(?:ly)?"
    r"|last (?:time|visit)|(?:days?|weeks?|months?|fortnight) (?:ago|before|earlier|later)"
    r"|(?:had|have) (?:already|just)"
    r"|(?:january|february|march|april|may|june|july|august|september|october|november|december)"
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


def traps_of(cases: Sequence[Case], vocabulary: Vocabulary) -> tuple[Trap, ...]:
    """Return what was wrongly taken for the cause in cases that came back, or were not fixed."""
    return tuple(trap for case in cases for trap in _of_case(case, vocabulary))


def _of_case(case: Case, vocabulary: Vocabulary) -> Iterator[Trap]:
    if ended(case.note) == "not fixed":
        yield from _not_fixed(case)
    if not came_back(case.note):
        return
    found = {trap.what: trap for trap in (*_routes(case, vocabulary), *_told(case, vocabulary))}
    yield from list(found.values())[:MOST_OF_A_CASE]


def _not_fixed(case: Case) -> Iterator[Trap]:
    """The recorded cause was dealt with, and the fault stayed."""
    for cause, reading in zip(case.note.causes, case.digest.causes, strict=True):
        if reading.known:
            said = ", ".join(filter(None, (cause.part, cause.fault)))
            yield Trap(cause.part, f"{said}: dealt with, not fixed", "", case.source(cause.lines))


def _routes(case: Case, vocabulary: Vocabulary) -> Iterator[Trap]:
    """A route or check that says itself that it was tried before."""
    told = [
        (route.route, route.lines) for route in case.note.routes if not read_yes_no(route.chosen)
    ]
    told += [(f"{check.check}: {check.found}", check.lines) for check in case.note.checks]
    for text, lines in told:
        if _EARLIER.search(text):
            yield from _trap(case, text, text, lines, vocabulary)


def _told(case: Case, vocabulary: Vocabulary) -> Iterator[Trap]:
    """A sentence that tells of an earlier repair of another part."""
    for passage in case.told:
        for match in _SENTENCE.finditer(passage.text):
            sentence = match.group().strip()
            if _EARLIER.search(sentence) and _FITTED.search(sentence):
                lines = Lines(passage.first_line, passage.last_line)
                yield from _trap(case, sentence, sentence, lines, vocabulary)


def _trap(case: Case, text: str, said: str, lines: Lines, vocabulary: Vocabulary) -> Iterator[Trap]:
    """A trap for the first part in `text` that is none of those that it turned out to be."""
    for part in parts(text, vocabulary):
        reading = read_cause(part, "", vocabulary)
        if not any(same_part(reading, cause, vocabulary) for cause in case.digest.causes):
            instead = "; ".join(cause.part for cause in case.note.causes)
            yield Trap(part, said[:LONGEST], instead, case.source(lines))
            return
