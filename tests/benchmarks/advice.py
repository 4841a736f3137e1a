"""Does the advice shorten the way? `python -m tests.benchmarks.advice [demo|coast]`.

Each case of a shop with a known cause and recorded checks is hidden in turn. Its symptom is asked;
the evidence is made of the other cases alone. Then checks are made one after the other, either the
one that the evidence names next, or those that these cases record most often first (the quicker
first where alike). A check comes out as the hidden case records it; one that it does not record
comes out as the other cases make likelier under its cause, and where they tell nothing it costs its
minutes for nothing. The cause is reached when it is the likeliest by `SURE`, or as
soon as a check is made that the hidden case itself says points to it. Both ways are followed by the
same rules until the cause is reached or no check is left; what both cannot reach is counted apart.

A hidden case whose cause no other of the cases has cannot be reached by anybody and is left out;
how many these are is printed.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median

from tests.benchmarks.rated import indexes

from benchlore.evidence.causes import CauseGroup, cause_groups
from benchlore.evidence.checks import CheckGroup, StatedCheck, check_groups
from benchlore.evidence.gathering import Case, gather
from benchlore.evidence.model import Outcome
from benchlore.evidence.next_check import (
    USUAL_MINUTES,
    Counts,
    after,
    counts_of,
    next_checks,
    prior_of,
)
from benchlore.index.opened import OpenIndex
from benchlore.language.checks import same_check
from benchlore.language.vocabulary import Vocabulary, of_shop
from benchlore.search.engine import Engine
from benchlore.search.results import Question

SURE = 0.5


@dataclass(frozen=True, slots=True)
class Hunt:
    """A hidden case, and what the others say about its symptom."""

    hidden: Case
    wanted: int
    causes: Sequence[CauseGroup]
    checks: Sequence[CheckGroup]
    counts: Sequence[Counts]
    results: Sequence[Outcome | None]
    proving: Sequence[bool]

    def minutes(self, number: int) -> float:
        known = self.checks[number].minutes
        return USUAL_MINUTES if known is None else known


def hunts(index: OpenIndex) -> tuple[list[Hunt], int]:
    """Return the hidden cases that can be hunted, and how many cannot."""
    engine = Engine(index)
    vocabulary = of_shop(index.shop.settings.vocabulary)
    found, left_out = [], 0
    for stored in index.store.all_notes():
        note = stored.note
        if note.kind != "case" or not note.symptom or not note.checks or not note.causes:
            continue
        said = "; ".join([note.symptom.text, *(each.text for each in note.present)])
        answer = engine.find(Question(said))
        others = [each for each in answer.behind if each.number != stored.number]
        own = [each for each in answer.behind if each.number == stored.number]
        hunt = None
        if others and own:
            hidden = gather(index.store, own)[0]
            hunt = _hunt(hidden, gather(index.store, others), vocabulary)
        if hunt:
            found.append(hunt)
        else:
            left_out += 1
    return found, left_out


def _hunt(hidden: Case, others: Sequence[Case], vocabulary: Vocabulary) -> Hunt | None:
    causes = cause_groups(others, vocabulary)
    wanted = next(
        (
            number
            for number, cause in enumerate(causes)
            if any(cause.has(reading, vocabulary) for reading in hidden.digest.causes)
        ),
        None,
    )
    checks = check_groups(others, vocabulary)
    if wanted is None or len(causes) < 2 or not checks:
        return None
    counts = [counts_of(group, causes, vocabulary) for group in checks]
    made = [_made(hidden, group, causes[wanted], vocabulary) for group in checks]
    results = [
        own or _likelier(count, wanted) for (own, _), count in zip(made, counts, strict=True)
    ]
    return Hunt(hidden, wanted, causes, checks, counts, results, [proof for _, proof in made])


def _likelier(count: Counts, cause: int) -> Outcome | None:
    good, bad = (row[cause] for row in count.table)
    return None if good == bad else "in order" if good > bad else "not in order"


def _made(
    hidden: Case, group: CheckGroup, cause: CauseGroup, vocabulary: Vocabulary
) -> tuple[Outcome | None, bool]:
    """How the hidden case records a check, and whether that alone points to its cause."""
    for check, digest in zip(hidden.note.checks, hidden.digest.checks, strict=True):
        if any(same_check(digest.reading, s.digest.reading, vocabulary) for s in group.stated):
            stated = StatedCheck(hidden, check, digest)
            return stated.outcome, any(cause.has(r, vocabulary) for r in digest.points_to)
    return None, False


def follow(hunt: Hunt, choose: Callable[[Hunt, list[int], list[float]], int]) -> tuple[float, bool]:
    """Make checks as `choose` says; the minutes it took, and whether the cause was reached."""
    left, likely, spent = list(range(len(hunt.checks))), prior_of(hunt.causes), 0.0
    while left:
        if _reached(hunt, likely):
            return spent, True
        number = choose(hunt, left, likely)
        left.remove(number)
        spent += hunt.minutes(number)
        outcome = hunt.results[number]
        if hunt.proving[number]:
            return spent, True
        if outcome is not None:
            likely = after(likely, hunt.counts[number].table, outcome)
    return spent, _reached(hunt, likely)


def _reached(hunt: Hunt, likely: Sequence[float]) -> bool:
    best = max(range(len(likely)), key=lambda n: likely[n])
    return best == hunt.wanted and likely[best] >= SURE


def by_advice(hunt: Hunt, left: list[int], likely: list[float]) -> int:
    """The check that the evidence names first; where it names none, as by frequency."""
    groups = [hunt.checks[n] for n in left]
    advised = next_checks(groups, [hunt.counts[n] for n in left], hunt.causes, likely)
    if not advised:
        return by_frequency(hunt, left, likely)
    return next(n for n in left if hunt.checks[n].sources == advised[0].sources)


def by_frequency(hunt: Hunt, left: list[int], likely: list[float]) -> int:
    """The check that most cases record."""
    return min(left, key=lambda n: (-len(hunt.checks[n].stated), hunt.minutes(n), n))


def main(shops: Sequence[str]) -> None:
    """Print minutes by both ways."""
    opened = indexes()
    for shop in shops:
        report(shop, opened[shop])


def report(shop: str, index: OpenIndex) -> None:
    """Print the figures of one shop."""
    found, left_out = hunts(index)
    ways = [(follow(hunt, by_advice), follow(hunt, by_frequency)) for hunt in found]
    open_ones = [way for way in ways if way[1][0] or way[0][0]]
    both = [way for way in open_ones if way[0][1] and way[1][1]]
    print(f"{shop}: {len(found)} hidden cases, {left_out} whose cause no near case has")
    print(f"  reached without any check: {len(ways) - len(open_ones)}")
    for name, place in (("by the advice", 0), ("by frequency", 1)):
        reached = sum(way[place][1] for way in open_ones)
        spent = sum(way[place][0] for way in open_ones)
        print(f"  {name}: reached {reached} of {len(open_ones)}, {spent:.0f} min in all")
    if both:
        one, other = (sum(way[place][0] for way in both) for place in (0, 1))
        ratios = median(way[0][0] / way[1][0] for way in both if way[1][0])
        print(f"  where both reach it ({len(both)}): {one:.0f} against {other:.0f} min, ", end="")
        print(f"ratio {one / max(other, 1):.2f}, median of ratios {ratios:.2f}")


if __name__ == "__main__":
    main(sys.argv[1:] or ("demo", "coast"))
