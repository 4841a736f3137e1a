"""The checks of the cases: which are one and the same, and what came of each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from benchlore.evidence.gathering import Case
from benchlore.evidence.grouping import grouped, most_often
from benchlore.evidence.model import LimitSeen, Outcome, Source, Sources
from benchlore.evidence.statistics import weighted_median
from benchlore.index.digests import CheckDigest
from benchlore.language.checks import same_check
from benchlore.language.vocabulary import Vocabulary
from benchlore.notes import Check, read_yes_no
from benchlore.notes.scalars import read_minutes


@dataclass(frozen=True, slots=True)
class StatedCheck:
    """A check as one case states it."""

    case: Case
    check: Check
    digest: CheckDigest

    @property
    def source(self) -> Source:
        """Its lines."""
        return self.case.source(self.check.lines)

    @property
    def outcome(self) -> Outcome | None:
        """Whether it was in order: as the note says, else by its limit, else by what it led to.

        None where the note does not tell.
        """
        said = read_yes_no(self.check.ok)
        if said is None and self.digest.verdict != "none":
            said = self.digest.verdict == "within"
        if said is None and bool(self.check.points_to) != bool(self.check.rules_out):
            said = bool(self.check.rules_out)
        return None if said is None else "in order" if said else "not in order"


@dataclass(frozen=True, slots=True)
class CheckGroup:
    """Stated checks that are one."""

    name: str
    stated: tuple[StatedCheck, ...]

    @property
    def minutes(self) -> float | None:
        """Median of what it took, min, by the weight of the cases; None where no note says."""
        known = {
            each: minutes
            for each in self.stated
            if (minutes := read_minutes(each.check.minutes)) is not None
        }
        weights = [each.case.weight for each in known]
        return weighted_median(list(known.values()), weights) if known else None

    @property
    def invasive(self) -> bool:
        """Whether most cases took something apart for it."""
        return sum(each.digest.reading.invasive for each in self.stated) * 2 > len(self.stated)

    @property
    def sources(self) -> Sources:
        """Where it is stated."""
        return tuple(each.source for each in self.stated)


def check_groups(cases: Sequence[Case], vocabulary: Vocabulary) -> list[CheckGroup]:
    """Put the checks of `cases` together, those of the nearest case first."""
    stated = [
        StatedCheck(case, check, digest)
        for case in cases
        for check, digest in zip(case.note.checks, case.digest.checks, strict=True)
    ]
    groups = grouped(
        stated, lambda a, b: same_check(a.digest.reading, b.digest.reading, vocabulary)
    )
    return [CheckGroup(most_often(each.check.check for each in g), tuple(g)) for g in groups]


def limits_seen(stated: Sequence[StatedCheck]) -> tuple[LimitSeen, ...]:
    """Return the limits that notes give for a check, each with where it is from."""
    found: dict[tuple[str, str], list[Source]] = {}
    for each in stated:
        if each.check.limit:
            key = (each.check.limit, each.check.limit_from)
            found.setdefault(key, []).append(each.source)
    return tuple(LimitSeen(*key, tuple(sources)) for key, sources in found.items())
