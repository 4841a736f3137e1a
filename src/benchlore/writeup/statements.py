"""A job card's text cut into statements: what one line, sentence or labelled entry says."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from benchlore.language import Reading
from benchlore.language.conditions import read_told
from benchlore.language.vocabulary import Vocabulary

# Labels as job cards have them: common practice, no source.
_LABELS = {
    "case": r"job(?: (?:card|sheet))?(?: (?:no|number|#))?|case(?: no)?|order(?: no)?|w/?o(?: no)?"
            r"|r/?o(?: no)?|ref",
    "make": r"make",
    "model": r"model",
    "year": r"year|my|built",
    "engine": r"engine(?: code| type)?|eng",
    "odometer": r"mileage|odometer|odo|miles|km|hours|hrs|hour meter|clock",
    "vehicle": r"vehicle|machine|car|unit|veh",
    "date": r"date(?: (?:in|out|of job|received))?",
    "by": r"tech(?:nician)?|mechanic|fitter|by|done by|initials",
    "codes": r"(?:fault |trouble )?codes?|dtcs?",
    "complaint": r"(?:customer |cust )?(?:complaint|concern|complains? of)|symptoms?|noise"
                 r"|(?:reported |driver )?(?:fault|defect|problem)(?: reported)?"
                 r"|(?:customer|cust|driver|owner) (?:states|says|reports)|c/s",
    "cause": r"(?:root )?cause|diagnosis|diagnosed|found|fault found",
    "findings": r"findings?|inspection|checks?|checked|measured|tests?|readings?",
    "work": r"work(?: done)?|rectification|repairs?|correction|action|fix|remedy",
    "outcome": r"outcome|result|status|road test|retest",
    "other": r"reg(?:istration)?|vin|chassis(?: no)?|customer|cust|owner|name|tel|phone|parts?"
             r"|labour|fleet no|price|total|invoice",
    "notes": r"(?:tech(?:nician)?(?:'?s)? |job )?notes?",
}  # fmt: skip
_LABEL = re.compile(
    r"(?<![\w/])(?:"
    + "|".join(f"(?P<{key}>{words})" for key, words in _LABELS.items())
    + r")\.?\s*:\s*",
    re.I,
)
_JOB = re.compile(r"(?<!\w)(?:job|case)(?: (?:card|no|number))?\.? *#? *(?=\d[\d-]{2,}\b)", re.I)
_BULLET = re.compile(r"[ \t]*(?:[-*\N{BULLET}\N{EN DASH}]|\(?\d{1,2}[.)])[ \t]+")
_STOP = re.compile(
    r"[.!?](?=\s|$)|;|[^\S\r\n]{6,}"
    r"|(?<=\s)(?:/|->|=>|\N{RIGHTWARDS ARROW}|-|\N{EN DASH}|\N{EM DASH})(?=\s)"
)
_TITLE = re.compile(r"\b(?:mr|mrs|ms|dr)\.$", re.I)
_SHORT = re.compile(r"\b(?:no|approx|max|min|lim|temp|cyl|e\.g|i\.e)\.$", re.I)
LONGEST = 500
"""Characters of a statement whose conditions are read: a list of words without a stop is none."""

_WRAPPED = 60
"""Characters of a line from which on it may have been wrapped."""


@dataclass(frozen=True, slots=True)
class Statement:
    """One thing that a card says.

    Attributes:
        start, end: `text[start:end]` of the card, without its label.
        label: a key of the labels above, "" where it has none.
        opens: it is the first of its line.
        readings: its conditions; their offsets count within `said`.
        tags: of its cues, see `language.conditions.read_told`.
    """

    start: int
    end: int
    said: str
    label: str
    opens: bool
    readings: tuple[Reading, ...]
    tags: frozenset[str]


def statements(text: str, vocabulary: Vocabulary) -> tuple[Statement, ...]:
    """Return the statements of `text` in order; they do not overlap."""
    found = []
    for first, last in _entries(text):
        label, opens = "", True
        for start, end, named in _labelled(text, first, last):
            label = named or label
            for from_, to in _sentences(text, start, end):
                said = text[from_:to]
                readings, tags = read_told(said[:LONGEST], vocabulary)
                found.append(Statement(from_, to, said, label, opens, readings, tags))
                opens = False
                label = label if label in ("findings", "work") else _carried(label)
    return tuple(found)


def _carried(label: str) -> str:
    """What a label still says of the next sentence: a complaint may take several."""
    return label if label in ("complaint", "other") else ""


def _entries(text: str) -> Iterator[tuple[int, int]]:
    """Yield the lines, those put together that were only wrapped."""
    lines = [match.span() for match in re.finditer(r"[^\r\n]+", text)]
    start = None
    for number, (first, last) in enumerate(lines):
        start = first if start is None else start
        after = lines[number + 1][0] if number + 1 < len(lines) else None
        if after is None or not _goes_on(text, start, first, last, after):
            yield start, last
            start = None


def _goes_on(text: str, start: int, first: int, last: int, after: int) -> bool:
    line = text[first:last].rstrip()
    if re.search(r"\n[ \t\r]*\n|\r[ \t]*\r", text[last:after]) or not line:
        return False
    said = text[start:last]
    if said.count("(") > said.count(")"):
        return True
    if line[-1] in ".:;!?" or _BULLET.match(text, after):
        return False
    begins = text[after : after + 1]
    if len(line) >= _WRAPPED and (begins.islower() or begins.isdigit()):
        return True
    return len(line) >= _WRAPPED + 25


def _labelled(text: str, first: int, last: int) -> Iterator[tuple[int, int, str]]:
    """Yield the stretches of an entry with the label before each, "" for none."""
    bullet = _BULLET.match(text, first, last)
    place, label = bullet.end() if bullet else first, ""
    job = _JOB.match(text, place, last)
    if job is not None:
        end = re.compile(r"[\d-]+").match(text, job.end())
        assert end is not None
        yield job.end(), end.end(), "case"
        place = end.end()
    for match in _LABEL.finditer(text, place, last):
        if match.start() > place and match.lastgroup in ("cause", "work", "findings", "other"):
            # in the middle of a line only what cannot be said in passing
            before = text[place : match.start()].rstrip()
            if before and before[-1] not in ".;,":
                continue
        yield place, match.start(), label
        place, label = match.end(), str(match.lastgroup).removeprefix("notes")
    yield place, last, label


def _sentences(text: str, first: int, last: int) -> Iterator[tuple[int, int]]:
    start = first
    for stop in _STOP.finditer(text, first, last):
        if stop.group() == "." and _abbreviates(text, start, stop.end()):
            continue
        yield from _trimmed(text, start, stop.start())
        start = stop.end()
    yield from _trimmed(text, start, last)


def _abbreviates(text: str, start: int, end: int) -> bool:
    """Say whether the point before `end` is that of a short form: "min." before no capital."""
    before, after = text[start:end], text[end:].lstrip()[:1]
    return bool(_TITLE.search(before) or (_SHORT.search(before) and not after.isupper()))


_EDGE = " \t\r\n,.;:-\N{BULLET}*"


def _trimmed(text: str, start: int, end: int) -> Iterator[tuple[int, int]]:
    while start < end and text[start] in _EDGE and not _number_at(text, start):
        start += 1
    while end > start and text[end - 1] in _EDGE:
        end -= 1
    if any(char.isalnum() for char in text[start:end]):
        yield start, end


def _number_at(text: str, place: int) -> bool:
    """Say whether a point or a minus belongs to the number behind it."""
    return text[place] in ".-" and text[place + 1 : place + 2].isdigit()
