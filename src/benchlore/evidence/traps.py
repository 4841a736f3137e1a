"""First diagnoses that were wrong, in cases that came back or were not fixed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from benchlore.evidence.gathering import Case, ended
from benchlore.evidence.model import Trap
from benchlore.notes import Lines


def traps_of(cases: Sequence[Case]) -> tuple[Trap, ...]:
    """Return what was wrongly taken for the cause."""
    return tuple(trap for case in cases for trap in (*_not_fixed(case), *_earlier(case)))


def _not_fixed(case: Case) -> Iterator[Trap]:
    """The recorded cause was dealt with, and the fault stayed."""
    if ended(case.note) != "not fixed":
        return
    for cause, reading in zip(case.note.causes, case.digest.causes, strict=True):
        if reading.known:
            said = ", ".join(filter(None, (cause.part, cause.fault)))
            yield Trap(cause.part, f"{said}: dealt with, not fixed", "", case.source(cause.lines))


def _earlier(case: Case) -> Iterator[Trap]:
    """Another part was dealt with first, and the machine came back."""
    instead = "; ".join(cause.part for cause in case.note.causes)
    for each in case.digest.earlier:
        lines = Lines(each.first_line, each.last_line)
        yield Trap(each.what, each.said, instead, case.source(lines))
