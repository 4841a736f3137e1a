"""What the close and related cases of an answer add up to."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from benchlore.evidence.cautions import UNREAD, usual_cautions
from benchlore.evidence.causes import (
    FEWEST,
    CauseGroup,
    cause_groups,
    causes_found,
    not_finished,
    pairs_found,
    without_cause,
)
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


def sum_up(
    store: Store,
    settings: Settings,
    answer: Answer,
    found: Sequence[str] = (),
    apart: Collection[str] = (),
) -> Evidence:
    """Return what the cases behind `answer` say.

    `found` are results so far, each as `check: result`; `apart` names causes to be shown as they
    are written, not put together.

    Raises:
        IndexDamaged: the index cannot be read.
    """
    return evidence_of(gather(store, answer.behind), store, settings, found, apart)


def evidence_of(
    cases: Sequence[Case],
    store: Store | None,
    settings: Settings,
    found: Sequence[str] = (),
    apart: Collection[str] = (),
) -> Evidence:
    """Return what `cases` say; without a `store`, nothing of who it happens to."""
    vocabulary = of_shop(settings.vocabulary)
    causes = cause_groups(cases, vocabulary, apart)
    checks = check_groups(cases, vocabulary)
    counts = [counts_of(group, causes, vocabulary) for group in checks]
    results, likely, left = _updated(found, checks, counts, causes, vocabulary)
    worth = next_checks([checks[n] for n in left], [counts[n] for n in left], causes, likely)
    listed = causes_found(causes, cases, likely, vocabulary)
    by_chance = _in_order(causes, [cause.name for cause in listed])
    routes = route_rows(by_chance, settings, vocabulary)
    return Evidence(
        cases=len(cases),
        close=sum(case.closeness == "close" for case in cases),
        too_few=len(cases) < FEWEST,
        causes=listed,
        pairs=pairs_found(causes),
        unknown=without_cause(cases),
        open=not_finished(cases),
        traps=traps_of(cases, vocabulary),
        conditions=conditions_seen(cases),
        findings=finding_rows(checks, found),
        found=results,
        checks=worth,
        nothing_to_choose=_nothing_to_choose(causes, checks, worth),
        routes=routes,
        comparisons=comparisons(routes, settings),
        who=who_it_happens_to(store, by_chance, vocabulary) if store else (),
        cautions=_cautions(cases),
        sources=tuple(case.source(None) for case in cases),
    )


def _updated(
    found: Sequence[str],
    checks: Sequence[CheckGroup],
    counts: Sequence[Counts],
    causes: Sequence[CauseGroup],
    vocabulary: Vocabulary,
) -> tuple[tuple[FoundResult, ...], list[float], list[int]]:
    """The results matched, the chances of the causes after them, and the checks not made yet."""
    likely = prior_of(causes)
    left = list(range(len(checks)))
    results = []
    for text in found:
        result, group = match_result(text, checks, vocabulary)
        results.append(result)
        number = next((n for n, each in enumerate(checks) if each is group), None)
        if number is None or number not in left:
            continue
        if result.outcome is not None:
            left.remove(number)
            if likely:
                likely = after(likely, counts[number].table, result.outcome)
    return tuple(results), likely, left


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


def _cautions(cases: Sequence[Case]) -> tuple[str, ...]:
    """The cases' own cautions, then the usual ones of their systems, each once."""
    own = [caution.text for case in cases for caution in case.note.cautions]
    if any(case.note.cautions_unread for case in cases):
        own.insert(0, UNREAD)
    usual = usual_cautions(dict.fromkeys(case.note.system for case in cases))
    return tuple(dict.fromkeys((*own, *usual)))
