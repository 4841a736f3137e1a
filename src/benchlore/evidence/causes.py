"""What it turned out to be: causes over the cases, weighted by how near these are."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import combinations

from benchlore.evidence.gathering import Case, came_back, ended
from benchlore.evidence.grouping import grouped, most_often
from benchlore.evidence.model import CauseFound, PairFound, Share, Source, Sources, Written
from benchlore.evidence.statistics import effective_size, jeffreys
from benchlore.language.causes import CauseReading, same_cause, same_part
from benchlore.language.vocabulary import Vocabulary
from benchlore.notes import Cause

FEWEST = 3
"""Cases below which no share is given: common practice, no source."""

CERTAINTIES = ("proved", "likely", "suspected", "unknown")


@dataclass(frozen=True, slots=True)
class StatedCause:
    """A known cause as one case states it."""

    case: Case
    cause: Cause
    reading: CauseReading

    @property
    def source(self) -> Source:
        """Its lines."""
        return self.case.source(self.cause.lines)


@dataclass(frozen=True, slots=True)
class CauseGroup:
    """Stated causes that are one."""

    name: str
    stated: tuple[StatedCause, ...]

    @property
    def cases(self) -> tuple[Case, ...]:
        """The cases that have it, each once."""
        return tuple({stated.case.number: stated.case for stated in self.stated}.values())

    def has(self, reading: CauseReading, vocabulary: Vocabulary) -> bool:
        """Say whether a cause named elsewhere is this one."""
        return any(same_cause(reading, each.reading, vocabulary) for each in self.stated)

    def is_of(self, reading: CauseReading, vocabulary: Vocabulary) -> bool:
        """Say whether it is of the same kind of part."""
        return any(same_part(reading, each.reading, vocabulary) for each in self.stated)


def cause_groups(
    cases: Sequence[Case], vocabulary: Vocabulary, apart: Collection[str] = ()
) -> list[CauseGroup]:
    """Put the known causes of `cases` together, the heaviest first.

    `apart` names causes that are to be left as they are written.
    """
    stated = [
        StatedCause(case, cause, reading)
        for case in cases
        for cause, reading in zip(case.note.causes, case.digest.causes, strict=True)
        if reading.known
    ]
    groups = _named(grouped(stated, lambda a, b: same_cause(a.reading, b.reading, vocabulary)))
    split = [
        part
        for group in groups
        for part in (_named(_as_written(group)) if group.name in apart else [group])
    ]
    return sorted(split, key=lambda group: -sum(case.weight for case in group.cases))


def _named(groups: Sequence[Sequence[StatedCause]]) -> list[CauseGroup]:
    """Give each group a name of its own: the part as most often written, with its fault if need be.

    Two causes of one part are told apart by how it failed.
    """
    parts = [most_often(each.cause.part or each.cause.fault for each in group) for group in groups]
    often = Counter(part.casefold() for part in parts)
    named: list[CauseGroup] = []
    for part, group in zip(parts, groups, strict=True):
        fault = most_often(each.cause.fault for each in group if each.cause.fault)
        alone = often[part.casefold()] == 1 or not fault
        named.append(CauseGroup(part if alone else f"{part}: {fault}", tuple(group)))
    return named


def _as_written(group: CauseGroup) -> list[list[StatedCause]]:
    return grouped(group.stated, lambda a, b: _wording(a) == _wording(b))


def _wording(stated: StatedCause) -> tuple[str, str]:
    return stated.cause.part.casefold().strip(), stated.cause.fault.casefold().strip()


def causes_found(
    groups: Sequence[CauseGroup],
    cases: Sequence[Case],
    likely: Sequence[float],
    vocabulary: Vocabulary,
) -> tuple[CauseFound, ...]:
    """Count what was found; `likely` has the chance of each group after what is found so far.

    The likeliest comes first. A case without a known cause counts among all cases.
    """
    found = [
        _found(group, groups, cases, chance, vocabulary)
        for group, chance in zip(groups, likely, strict=True)
    ]
    return tuple(sorted(found, key=lambda cause: -cause.likely))


def _found(
    group: CauseGroup,
    groups: Sequence[CauseGroup],
    cases: Sequence[Case],
    likely: float,
    vocabulary: Vocabulary,
) -> CauseFound:
    having = group.cases
    readings = [each.reading for each in group.stated]
    anywhere = {case.number for case in having}
    for other in groups:
        if any(other.is_of(reading, vocabulary) for reading in readings):
            anywhere.update(case.number for case in other.cases)
    certainty = Counter(_certainty(each.cause) for each in group.stated)
    return CauseFound(
        name=group.name,
        cases=len(having),
        close=sum(case.closeness == "close" for case in having),
        share=share(having, cases),
        likely=likely,
        written=tuple(
            Written(each.cause.part, each.cause.fault, each.cause.certainty, each.source)
            for each in group.stated
        ),
        certainty=tuple((word, certainty[word]) for word in (*CERTAINTIES, "") if certainty[word]),
        fixed=sum(ended(case.note) == "fixed" for case in having),
        not_fixed=sum(ended(case.note) == "not fixed" for case in having),
        comebacks=sum(came_back(case.note) for case in having),
        anywhere=len(anywhere),
        sources=tuple(each.source for each in group.stated),
    )


def share(having: Sequence[Case], cases: Sequence[Case]) -> Share | None:
    """Return the share that `having` are of `cases` by weight; None below `FEWEST` cases.

    The interval is that of Jeffreys at the effective number of cases (Kish): cases that are only
    related tell less than close ones.
    """
    if len(cases) < FEWEST:
        return None
    weights = [case.weight for case in cases]
    size = effective_size(weights)
    of_all = min(sum(case.weight for case in having) / sum(weights), 1.0)
    low, high = jeffreys(of_all * size, size)
    # Below one whole case the interval can miss its own share.
    return Share(of_all, min(low, of_all), max(high, of_all), size)


def _certainty(cause: Cause) -> str:
    word = cause.certainty.casefold().strip()
    return word if word in CERTAINTIES else ""


def pairs_found(groups: Sequence[CauseGroup]) -> tuple[PairFound, ...]:
    """Return the pairs of causes that stand in one case, most cases first."""
    found: dict[tuple[str, str], dict[int, list[StatedCause]]] = {}
    for one, other in combinations(groups, 2):
        for case in {case.number for case in one.cases} & {case.number for case in other.cases}:
            stated = [each for each in (*one.stated, *other.stated) if each.case.number == case]
            found.setdefault((one.name, other.name), {})[case] = stated
    pairs = [
        PairFound(names, len(cases), tuple(s.source for each in cases.values() for s in each))
        for names, cases in found.items()
    ]
    return tuple(sorted(pairs, key=lambda pair: -pair.cases))


def not_found(cases: Sequence[Case]) -> Sources:
    """Return where cases say that their cause was not found."""
    return tuple(
        case.source(case.note.causes[0].lines)
        for case in cases
        if case.note.causes and not case.known
    )


def not_recorded(cases: Sequence[Case]) -> Sources:
    """Return the cases that name no cause as such."""
    return tuple(case.source(None) for case in cases if not case.note.causes)


def not_finished(cases: Sequence[Case]) -> Sources:
    """Return the outcomes that are still open."""
    return tuple(
        case.source(case.note.outcome.lines)
        for case in cases
        if case.note.outcome is not None and ended(case.note) == "open"
    )
