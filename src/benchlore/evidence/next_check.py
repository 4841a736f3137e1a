"""What to check next: how much each check would narrow the causes for the minutes it takes.

Causes start with the weight of their cases. A check comes out in order or not; how likely that is
under a cause is counted over the cases, add-one smoothed: cases with that cause that record the
check, and what technicians wrote that a result points to or rules out. The expected information
gain is that of Quinlan 1986 ("Induction of decision trees", Machine Learning 1(1), section 4).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from statistics import median

from benchlore.evidence.causes import CauseGroup
from benchlore.evidence.checks import CheckGroup, StatedCheck, limits_seen
from benchlore.evidence.model import NextCheck, Outcome, ResultMeaning, Source
from benchlore.evidence.statistics import information_gain
from benchlore.language.causes import CauseReading
from benchlore.language.vocabulary import Vocabulary

OUTCOMES: tuple[Outcome, Outcome] = ("in order", "not in order")
LEAST_BITS = 0.02
"""A check that is expected to tell less is not named: own choice, no source."""

USUAL_MINUTES = 15.0
"""What a check is taken to last where no note at all says: common practice, no source."""

WORTH_ALIKE = 1.15
"""Checks whose bits a minute differ by less than this factor are of equal worth: own choice."""


@dataclass(frozen=True, slots=True)
class Counts:
    """How a check came out under each cause.

    Attributes:
        table: table[outcome][cause], add-one smoothed: chance of the outcome under the cause.
        rests_on: by outcome the lines that were counted.
    """

    table: tuple[tuple[float, ...], ...]
    rests_on: tuple[tuple[Source, ...], ...]

    @property
    def counted(self) -> bool:
        """Whether any line tells of any cause."""
        return any(self.rests_on)


@dataclass(slots=True)
class _Tally:
    counts: list[list[float]]
    rests_on: list[dict[Source, None]] = field(default_factory=lambda: [{}, {}])

    def add(self, outcome: int, cause: int, source: Source) -> None:
        self.counts[outcome][cause] += 1
        self.rests_on[outcome][source] = None


def counts_of(group: CheckGroup, causes: Sequence[CauseGroup], vocabulary: Vocabulary) -> Counts:
    """Count how the checks of `group` came out under each of `causes`."""
    tally = _Tally([[1.0] * len(causes) for _ in OUTCOMES])
    for stated in group.stated:
        if stated.outcome is None:
            continue
        outcome = OUTCOMES.index(stated.outcome)
        own = {n for n, cause in enumerate(causes) if _has_case(cause, stated)}
        for cause in own:
            tally.add(outcome, cause, stated.source)
        for number in _meant(stated.digest.points_to, causes, vocabulary) - own:
            tally.add(outcome, number, stated.source)
        for number in _meant(stated.digest.rules_out, causes, vocabulary) - own:
            tally.add(1 - outcome, number, stated.source)
    totals = [sum(row[n] for row in tally.counts) for n in range(len(causes))]
    table = tuple(
        tuple(count / total for count, total in zip(row, totals, strict=True))
        for row in tally.counts
    )
    return Counts(table, tuple(tuple(each) for each in tally.rests_on))


def _has_case(cause: CauseGroup, stated: StatedCheck) -> bool:
    return any(each.case.number == stated.case.number for each in cause.stated)


def _meant(
    named: Iterable[CauseReading], causes: Sequence[CauseGroup], vocabulary: Vocabulary
) -> set[int]:
    """Numbers of the causes that a technician named."""
    return {
        number
        for reading in named
        for number, cause in enumerate(causes)
        if cause.has(reading, vocabulary)
    }


def prior_of(causes: Sequence[CauseGroup]) -> list[float]:
    """Return the chance of each cause by the weight of its cases."""
    return normalised([sum(case.weight for case in cause.cases) for cause in causes])


def normalised(weights: Sequence[float]) -> list[float]:
    """Return `weights` as chances that add up to 1."""
    total = sum(weights)
    return [weight / total for weight in weights] if total else list(weights)


def after(
    prior: Sequence[float], table: Sequence[Sequence[float]], outcome: Outcome
) -> list[float]:
    """Return the chances of the causes once a check has come out so (Bayes' rule)."""
    row = table[OUTCOMES.index(outcome)]
    return normalised([p * chance for p, chance in zip(prior, row, strict=True)])


def next_checks(
    groups: Sequence[CheckGroup],
    counts: Sequence[Counts],
    causes: Sequence[CauseGroup],
    prior: Sequence[float],
) -> tuple[NextCheck, ...]:
    """Return the checks worth making, best first: bits a minute, and at equal worth what opens
    nothing before what does, the quicker first.

    `groups` and their `counts` are those not made yet.
    """
    usual = _usual_minutes(groups)
    found = []
    for group, count in zip(groups, counts, strict=True):
        bits = information_gain(prior, count.table) if count.counted else 0.0
        if bits >= LEAST_BITS:
            minutes = group.minutes
            rate = bits / max(minutes if minutes is not None else usual, 1.0)
            results = tuple(_meaning(outcome, causes, prior, count) for outcome in OUTCOMES)
            found.append(
                NextCheck(
                    group.name, bits, minutes, rate, group.invasive, results,
                    limits_seen(group.stated), group.sources,
                )
            )  # fmt: skip
    found.sort(key=lambda check: -check.bits_per_minute)
    return tuple(_quick_first(found, usual))


def _quick_first(checks: Sequence[NextCheck], usual: float) -> Iterable[NextCheck]:
    """Within each run of equal worth, what opens nothing first, then the quicker."""
    run: list[NextCheck] = []

    def ordered() -> list[NextCheck]:
        return sorted(
            run, key=lambda c: (c.invasive, c.minutes if c.minutes is not None else usual)
        )

    for check in checks:
        if run and run[0].bits_per_minute > WORTH_ALIKE * check.bits_per_minute:
            yield from ordered()
            run = []
        run.append(check)
    yield from ordered()


def _usual_minutes(groups: Sequence[CheckGroup]) -> float:
    known = [minutes for group in groups if (minutes := group.minutes) is not None]
    return median(known) if known else USUAL_MINUTES


def _meaning(
    outcome: Outcome, causes: Sequence[CauseGroup], prior: Sequence[float], count: Counts
) -> ResultMeaning:
    number = OUTCOMES.index(outcome)
    chance = math.fsum(p * row for p, row in zip(prior, count.table[number], strict=True))
    then = after(prior, count.table, outcome)
    ranked = sorted(zip((cause.name for cause in causes), then, strict=True), key=lambda c: -c[1])
    return ResultMeaning(outcome, chance, tuple(ranked), count.rests_on[number])
