"""Causes without a part, causes called proved that nothing found bears out, and the outcome."""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.checking.model import Seen
from benchlore.checking.places import Places
from benchlore.index.earlier import tells_of_an_earlier_go
from benchlore.language.limits import judge
from benchlore.language.words import fold
from benchlore.notes import Cause, Check, Note, read_yes_no


def causes(note: Note, places: Places) -> Iterator[Seen]:
    """Look at the causes of `note`."""
    for cause in note.causes:
        at = places.first(cause.lines)
        if not cause.part and cause.certainty.casefold() != "unknown" and cause.fault:
            yield Seen("cause", at, "this cause names no part", "write which part: part: ...")
        if cause.certainty.strip().casefold() == "proved":
            yield from _proof(note, cause, places)


def _proof(note: Note, cause: Cause, places: Places) -> Iterator[Seen]:
    at = places.value(cause.lines, "certainty", cause.certainty)
    found = [check for check in note.checks if check.value or check.found or check.ok]
    said = f"'{cause.part or cause.fault}' is called proved"
    if any(_bad(check) or _fits(check, cause) for check in found) or _told(note, cause):
        return
    if not found:
        what = f"{said}, but no check of the note has a finding"
        yield Seen("proof", at, what, "add the check that proved it, or write likely")
    else:
        what = f"{said}, but no check points to it"
        yield Seen("proof", at, what, "add the check that proved it, or write likely")


def _bad(check: Check) -> bool:
    """Say whether a check found something wrong, wherever: much is proved in a roundabout way."""
    if check.points_to or read_yes_no(check.ok) is False:
        return True
    return bool(check.limit) and judge(check.value, check.limit, check.check) == "beyond"


def _fits(check: Check, cause: Cause) -> bool:
    """Say whether a check was of the part or speaks of what was wrong with it."""
    return not _words(cause).isdisjoint(fold(f"{check.check} {check.found} {check.value}"))


def _told(note: Note, cause: Cause) -> bool:
    """Say whether the body speaks of it: many a finding is told in prose alone."""
    words = _words(cause)
    blocks = (block for section in note.sections for block in section.blocks)
    return any(not words.isdisjoint(fold(block.text)) for block in blocks)


def _words(cause: Cause) -> set[str]:
    return {word for word in fold(f"{cause.part} {cause.fault}") if len(word) > 1}


def outcome(note: Note, places: Places) -> Iterator[Seen]:
    """Name a job that is called fixed though the machine came back.

    A note that tells of an earlier repair or visit says that the machine came back from that one,
    and was fixed then.
    """
    ended = note.outcome
    if ended is None or ended.result.strip().casefold() != "fixed":
        return
    if read_yes_no(ended.comeback) is not True or tells_of_an_earlier_go(note):
        return
    at = places.value(ended.lines, "comeback", ended.comeback)
    what = "called fixed, and yet the machine came back; the note tells of no earlier repair"
    todo = "write what it came back from, or result: not fixed, or comeback: false"
    yield Seen("outcome", at, what, todo)
