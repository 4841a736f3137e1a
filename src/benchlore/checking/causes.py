"""Causes without a part, causes called proved that nothing found bears out, and the outcome."""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.checking.model import Seen
from benchlore.checking.places import Places
from benchlore.index.earlier import tells_of_an_earlier_go
from benchlore.language.limits import judge
from benchlore.language.words import fold
from benchlore.notes import Cause, Check, Note, read_yes_no

CERTAINTIES = ("proved", "likely", "suspected", "unknown")
RESULTS = ("fixed", "improved", "not fixed", "declined", "open")
"""The format's words; others are kept and shown, but nothing is counted by them."""


def causes(note: Note, places: Places) -> Iterator[Seen]:
    """Look at the causes of `note`."""
    proved = [cause for cause in note.causes if _certainty(cause) == "proved"]
    found = _Found(note) if proved else None
    for cause in note.causes:
        if not cause.part and cause.fault and _certainty(cause) != "unknown":
            at = places.first(cause.lines)
            yield Seen("cause", at, "this cause names no part", "write which part: part: ...")
        if _certainty(cause) not in ("", *CERTAINTIES):
            at = places.value(cause.lines, "certainty", cause.certainty)
            yield _unknown_word("certainty", cause.certainty, CERTAINTIES, at)
        if found and cause in proved and not found.bears_out(cause):
            at = places.value(cause.lines, "certainty", cause.certainty)
            why = "no check points to it" if found.any else "no check of the note has a finding"
            what = f"'{cause.part or cause.fault}' is called proved, but {why}"
            yield Seen("proof", at, what, "add the check that proved it, or write likely")


class _Found:
    """What the checks of a note found, and what its body tells of: many a finding is prose."""

    def __init__(self, note: Note) -> None:
        checks = [check for check in note.checks if check.value or check.found or check.ok]
        self.any = bool(checks)
        self._bad = any(map(_bad, checks))
        told = [f"{check.check} {check.found} {check.value}" for check in checks]
        told += [block.text for section in note.sections for block in section.blocks]
        self._words = {word for text in told for word in fold(text)}

    def bears_out(self, cause: Cause) -> bool:
        """Say whether a check found something bad, or its words speak of the cause.

        Which of the bad findings proves what is left to people: much is proved in a roundabout way.
        """
        words = {word for word in fold(f"{cause.part} {cause.fault}") if len(word) > 1}
        return self._bad or not words.isdisjoint(self._words)


def _certainty(cause: Cause) -> str:
    return cause.certainty.strip().casefold()


def _bad(check: Check) -> bool:
    if check.points_to or read_yes_no(check.ok) is False:
        return True
    return bool(check.limit) and judge(check.value, check.limit, check.check) == "beyond"


def outcome(note: Note, places: Places) -> Iterator[Seen]:
    """Name a job that is called fixed though the machine came back.

    A note that tells of an earlier repair or visit says that the machine came back from that one,
    and was fixed then.
    """
    ended = note.outcome
    if ended is None:
        return
    result = " ".join(ended.result.casefold().split())
    if result not in ("", *RESULTS):
        at = places.value(ended.lines, "result", ended.result)
        yield _unknown_word("outcome", ended.result, RESULTS, at)
    if result != "fixed":
        return
    if read_yes_no(ended.comeback) is not True or tells_of_an_earlier_go(note):
        return
    at = places.value(ended.lines, "comeback", ended.comeback)
    what = "called fixed, and yet the machine came back; the note tells of no earlier repair"
    todo = "write what it came back from, or result: not fixed, or comeback: false"
    yield Seen("outcome", at, what, todo)


def _unknown_word(what: str, written: str, known: tuple[str, ...], at: int) -> Seen:
    todo = f"write one of {', '.join(known)}"
    return Seen("word", at, f"'{written[:40]}' is no {what} that is counted", todo)
