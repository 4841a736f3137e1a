"""What the close and related cases of an answer add up to."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from benchlore.evidence.causes import (
    FEWEST,
    CauseGroup,
    cause_groups,
    causes_found,
    not_finished,
    not_found,
    not_recorded,
    pairs_found,
)
from benchlore.evidence.cautions import UNREAD, Cautions, standing_line, usual_cautions
from benchlore.evidence.checks import CheckGroup, check_groups
from benchlore.evidence.conditions import conditions_seen
from benchlore.evidence.findings import finding_rows
from benchlore.evidence.gathering import Case, gather
from benchlore.evidence.model import Evidence, FoundResult
from benchlore.evidence.next_check import Counts, after, counts_of, next_checks, prior_of
from benchlore.evidence.results import match_result
from benchlore.evidence.routes import comparisons, route_rows
from benchlore.evidence.traps import traps_of
from benchlore.evidence.who import who_it_happens_to
from benchlore.index.store import Store
from benchlore.language.vocabulary import Vocabulary, of_shop
from benchlore.search.results import Answer
from benchlore.shop import Settings

MOST_CASES = 30
"""The likeliest of the cases behind an answer that are added up: comparing each with each takes
time with the square of their number, 0.25 s for sixty of them. How many are left out is said."""


def sum_up(
    store: Store,
    settings: Settings,
    answer: Answer,
    found: Sequence[str] = (),
    apart: Collection[str] = (),
    whole: bool = True,
) -> Evidence:
    """Return what the cases behind `answer` say.

    `found` are results so far, each as `check: result`; `apart` names causes to be shown as they
    are written, not put together. Without `whole`, findings and who it happens to are left out:
    they may take as long as the search itself.

    Raises:
        IndexDamaged: the index cannot be read.
    """
    cases = gather(store, answer.behind[:MOST_CASES])
    made = evidence_of(cases, store if whole else None, settings, found, apart, whole)
    return replace(made, left_out=len(answer.behind) - len(cases))


def evidence_of(
    cases: Sequence[Case],
    store: Store | None,
    settings: Settings,
    found: Sequence[str] = (),
    apart: Collection[str] = (),
    measured: bool = True,
) -> Evidence:
    """Return what `cases` say; without a `store`, nothing of who it happens to, and findings only
    with `measured`."""
    vocabulary = of_shop(settings.vocabulary)
    causes = cause_groups(cases, vocabulary, apart)
    checks = check_groups(cases, vocabulary)
    counts = [counts_of(group, causes, vocabulary) for group in checks]
    results, matched = _matched(found, checks, vocabulary)
    likely, left = _updated(results, matched, counts, causes)
    worth = next_checks([checks[n] for n in left], [counts[n] for n in left], causes, likely)
    listed = causes_found(causes, cases, likely, vocabulary)
    by_chance = _in_order(causes, [cause.name for cause in listed])
    routes = route_rows(by_chance, settings, vocabulary)
    return Evidence(
        cases=len(cases),
        close=sum(case.closeness == "close" for case in cases),
        left_out=0,
        too_few=len(cases) < FEWEST,
        causes=listed,
        pairs=pairs_found(causes),
        unknown=not_found(cases),
        unrecorded=not_recorded(cases),
        open=not_finished(cases),
        traps=traps_of(cases),
        conditions=conditions_seen(cases),
        findings=finding_rows(checks, _own_readings(results, matched)) if measured else (),
        found=results,
        checks=worth,
        nothing_to_choose=_nothing_to_choose(causes, checks, worth),
        routes=routes,
        comparisons=comparisons(routes, settings),
        who=who_it_happens_to(store, by_chance, vocabulary) if store else (),
        cautions=_cautions(cases),
        sources=tuple(case.source(None) for case in cases),
    )


def _matched(
    found: Sequence[str], checks: Sequence[CheckGroup], vocabulary: Vocabulary
) -> tuple[tuple[FoundResult, ...], list[int | None]]:
    """The results so far, each with the number of the check that it was taken for."""
    results, numbers = [], []
    for text in found:
        result, number = match_result(text, checks, vocabulary)
        results.append(result)
        numbers.append(number)
    return tuple(results), numbers


def _updated(
    results: Sequence[FoundResult],
    matched: Sequence[int | None],
    counts: Sequence[Counts],
    causes: Sequence[CauseGroup],
) -> tuple[list[float], list[int]]:
    """The chances of the causes after the results, and the checks not made yet.

    Of two results of one check the last counts.
    """
    last = {
        number: result.outcome
        for result, number in zip(results, matched, strict=True)
        if number is not None and result.outcome is not None
    }
    likely = prior_of(causes)
    for number, outcome in last.items():
        if likely:
            likely = after(likely, counts[number].table, outcome)
    return likely, [number for number in range(len(counts)) if number not in last]


def _own_readings(
    results: Sequence[FoundResult], matched: Sequence[int | None]
) -> dict[int | None, list[str]]:
    """What was read by the check it was taken for, without its name, in which numbers may stand;
    None: for no check by name."""
    own: dict[int | None, list[str]] = {}
    for result, number in zip(results, matched, strict=True):
        reading = result.text if number is None else result.text.partition(":")[2].strip()
        own.setdefault(number, []).append(reading)
    return own


def _in_order(causes: Sequence[CauseGroup], names: Sequence[str]) -> list[CauseGroup]:
    place = {name: number for number, name in enumerate(names)}
    return sorted(causes, key=lambda cause: place[cause.name])


def _nothing_to_choose(
    causes: Sequence[CauseGroup], checks: Sequence[CheckGroup], worth: Sequence[object]
) -> str:
    if worth:
        return ""
    if not causes:
        return "no cause is recorded in these cases: nothing to choose between"
    if len(causes) == 1:
        return "these cases name one cause: nothing to choose between"
    if not checks:
        return "these cases record no checks"
    return "these cases record too little to say which check would tell the causes apart"


def _cautions(cases: Sequence[Case]) -> Cautions:
    """The cases' own cautions and the usual ones of their systems, each once."""
    own = dict.fromkeys(caution.text for case in cases for caution in case.note.cautions)
    unread = any(case.note.cautions_unread for case in cases)
    usual = usual_cautions(dict.fromkeys(case.note.system for case in cases))
    return Cautions(UNREAD if unread else "", tuple(own), usual, standing_line())
