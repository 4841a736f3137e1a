"""Cutting a note into passages along its own structure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from benchlore.notes import Block, Cause, Check, Lines, Note, Section, Stated

PassageKind = Literal["symptom", "machine", "check", "cause", "route", "outcome", "other", "text"]

TEXT_CHARS = 900
"""A passage of running text is closed at the end of the block in which it passes this length: about
the 256 word pieces that the sentence model reads."""

MAX_PASSAGES = 400
"""Passages of one note that are searched; a note of a thousand checks must not crowd the index."""


@dataclass(frozen=True, slots=True)
class Passage:
    """A piece of a note that is searched by itself.

    Attributes:
        first_line, last_line: where it stands in the file, 1-based, both included.
        text: what the sentence model reads and what a result shows, on one line.
    """

    kind: PassageKind
    first_line: int
    last_line: int
    text: str


_IMPORTED = ("imported:", "imported_before:")


def cut(note: Note) -> list[Passage]:
    """Return the passages of `note` in the order in which they stand; never an empty text."""
    made: dict[str, Passage] = {}  # a plain note's first line is its symptom and its text: once
    for passage in _all(note):
        if passage.text:
            made.setdefault(passage.text, passage)
    return list(made.values())[:MAX_PASSAGES]


def _all(note: Note) -> Iterator[Passage]:
    yield from _symptom(note)
    yield from _machine(note)
    for check in note.checks:
        yield _passage("check", [check.lines], _check_text(check))
    yield from _causes(note.causes)
    for route in note.routes:
        yield _passage("route", [route.lines], route.route)
    if note.outcome is not None:
        outcome = note.outcome
        words = [outcome.result, f"after {outcome.after}" if outcome.after else ""]
        yield _passage("outcome", [outcome.lines], _joined(["outcome", *words], " "))
    # Not the cautions: every job on a lift warns of the lift, which tells no two faults apart.
    # Nor where a note was imported from: a line number and a key tell nothing of the job.
    extra = (said for said in note.extra if not said.text.startswith(_IMPORTED))
    for said in (*note.codes, *note.covers, *extra):
        yield _passage("other", [said.lines], said.text)
    for section in note.sections:
        yield from _section(section)


def _symptom(note: Note) -> Iterator[Passage]:
    """The symptom with when it shows and when not: together they are what a query describes."""
    stated: list[Stated] = []
    parts: list[str] = []
    title = note.title if note.kind == "article" else ""
    if note.symptom is not None:
        stated.append(note.symptom)
        parts.append(_joined([title, note.symptom.text], ": "))
    elif title:
        parts.append(title)
    if note.where is not None:
        stated.append(note.where)
        parts.append(note.where.text)
    if note.present:
        stated.extend(note.present)
        parts.append("shows " + ", ".join(said.text for said in note.present))
    if note.absent:
        stated.extend(note.absent)
        parts.append("not " + ", ".join(said.text for said in note.absent))
    if stated:
        yield _passage("symptom", [said.lines for said in stated], _joined(parts, ". "))


def _machine(note: Note) -> Iterator[Passage]:
    machine = note.machine
    if machine.lines is not None:
        extra = [f"{key} {value}" for key, value in machine.extra]
        words = [
            machine.make,
            machine.model,
            machine.year,
            machine.engine,
            machine.odometer,
            *extra,
        ]
        yield _passage("machine", [machine.lines], _joined(words, " "))


def _check_text(check: Check) -> str:
    value = _joined([check.value, f"limit {check.limit}" if check.limit else ""], ", ")
    extra = [f"{key} {text}" for key, text in check.extra]
    points = "points to " + ", ".join(check.points_to) if check.points_to else ""
    return _joined([_joined([check.check, check.found], ": "), value, points, *extra], "; ")


def _causes(causes: Iterable[Cause]) -> Iterator[Passage]:
    for cause in causes:
        extra = [f"{key} {text}" for key, text in cause.extra]
        yield _passage("cause", [cause.lines], _joined([cause.part, cause.fault, *extra], ", "))


def _section(section: Section) -> Iterator[Passage]:
    """Blocks are gathered to about one model's reading; the heading leads each passage's text."""
    gathered: list[Block] = []
    length = 0
    for block in section.blocks:
        gathered.append(block)
        length += len(block.text)
        if length >= TEXT_CHARS:
            yield _text_passage(section.heading, gathered)
            gathered, length = [], 0
    if gathered:
        yield _text_passage(section.heading, gathered)
    elif not section.blocks and section.heading:
        yield _passage("text", [section.lines], section.heading)


def _text_passage(heading: str, blocks: list[Block]) -> Passage:
    text = " ".join(block.text for block in blocks)
    return _passage("text", [block.lines for block in blocks], _joined([heading, text], ": "))


def _passage(kind: PassageKind, lines: Iterable[Lines], text: str) -> Passage:
    spans = list(lines)
    first, last = min(s.first for s in spans), max(s.last for s in spans)
    return Passage(kind, first, last, " ".join(text.split()))


def _joined(parts: Iterable[str], separator: str) -> str:
    return separator.join(part for part in parts if part)
