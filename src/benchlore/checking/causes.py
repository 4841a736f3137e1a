"""Causes without a part, causes called proved that nothing found bears out, and the outcome."""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.checking.model import Seen
from benchlore.checking.places import Places
from benchlore.language.limits import judge
from benchlore.language.words import fold
from benchlore.notes import Cause, Check, Note, read_yes_no

_NAMED_SO = ("unknown", "not found", "none", "no cause found")


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
    if not found:
        what = f"{said}, but no check of the note has a finding"
        yield Seen("proof", at, what, "add the check that proved it, or write likely")
    elif not any(_bad(check) or _fits(check, cause) for check in found):
        what = f"{said}, but no check points to it"
        yield Seen("proof", at, what, "add the check that proved it, or write likely")


def _bad(check: Check) -> bool:
    """Say whether a check found something wrong, wherever: much is proved in a roundabout way."""
    if check.points_to or read_yes_no(check.ok) is False:
        return True
    return bool(check.limit) and judge(check.value, check.limit, check.check) == "beyond"


def _fits(check: Check, cause: Cause) -> bool:
    """Say whether a check was of the part or speaks of what was wrong with it."""
    words = set(fold(f"{check.check} {check.found} {check.value}"))
    return not words.isdisjoint(fold(f"{cause.part} {cause.fault}"))


def outcome(note: Note, places: Places, vocabulary: Vocabulary) -> Iterator[Seen]:
    """Name a job that is called fixed though the machine came back.

    A note that tells of what was fitted before it came back means that earlier time.
    """
    ended = note.outcome
    if ended is None or ended.result.strip().casefold() != "fixed":
        return
    if read_yes_no(ended.comeback) is not True:
        return
    at = places.value(ended.lines, "comeback", ended.comeback)
    what = "called fixed, and yet the machine came back"
    yield Seen("outcome", at, what, "")
