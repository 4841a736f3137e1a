"""Repair routes: what each took and cost here, and whether the repair held."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations
from statistics import median

from benchlore.evidence.causes import CauseGroup
from benchlore.evidence.gathering import Case, came_back, ended
from benchlore.evidence.grouping import grouped, most_often
from benchlore.evidence.model import Comparison, RouteRow, Source, Sources, Spread
from benchlore.language.checks import CheckReading
from benchlore.language.money import MixedCurrencies, Money, read_money, total
from benchlore.language.routes import same_route
from benchlore.language.vocabulary import Vocabulary
from benchlore.notes import Route, read_yes_no
from benchlore.notes.scalars import read_date, read_number
from benchlore.shop import Settings


@dataclass(frozen=True, slots=True)
class StatedRoute:
    """A route as one case states it."""

    case: Case
    route: Route
    reading: CheckReading

    @property
    def taken(self) -> bool:
        """Whether it was chosen."""
        return read_yes_no(self.route.chosen) is True

    @property
    def source(self) -> Source:
        """Its lines."""
        return self.case.source(self.route.lines)


def route_rows(
    causes: Sequence[CauseGroup], settings: Settings, vocabulary: Vocabulary
) -> tuple[RouteRow, ...]:
    """Return the routes for each cause, or pair of causes that one case had, in order of `causes`;
    the most often taken first."""
    rows = []
    for names, cases in _by_causes(causes).items():
        stated = [
            StatedRoute(case, route, reading)
            for case in cases
            for route, reading in zip(case.note.routes, case.digest.routes, strict=True)
        ]
        groups = grouped(stated, lambda a, b: _same(a, b, vocabulary))
        made = [_row(group, names, settings) for group in groups]
        rows += sorted(made, key=lambda row: (-row.taken, -row.weighed))
    return tuple(rows)


def _by_causes(causes: Sequence[CauseGroup]) -> dict[tuple[str, ...], list[Case]]:
    """Each set of causes that one case had, with its cases."""
    of_case: dict[int, list[str]] = {}
    cases: dict[int, Case] = {}
    for cause in causes:
        for case in cause.cases:
            of_case.setdefault(case.number, []).append(cause.name)
            cases[case.number] = case
    found: dict[tuple[str, ...], list[Case]] = {}
    for number, names in of_case.items():
        found.setdefault(tuple(names), []).append(cases[number])
    order = {cause.name: place for place, cause in enumerate(causes)}
    return dict(sorted(found.items(), key=lambda item: (order[item[0][0]], len(item[0]))))


def _same(a: StatedRoute, b: StatedRoute, vocabulary: Vocabulary) -> bool:
    if a.case.number == b.case.number:
        return False  # a technician who weighs two routes means two
    return same_route(a.route.route, a.reading, b.route.route, b.reading, vocabulary)


def _row(group: Sequence[StatedRoute], names: tuple[str, ...], settings: Settings) -> RouteRow:
    taken = [each for each in group if each.taken]
    cases = [each.case for each in taken]
    judged = [each for each in taken if ended(each.case.note) not in ("", "open")]
    parts = [read_money(each.route.parts_cost, settings.currency) for each in group]
    outside = [read_money(each.route.outside_cost, settings.currency) for each in group]
    hours = [read_number(each.route.labour_hours) for each in group]
    money = [m for m in (*parts, *outside) if m is not None]
    mixed = len({m.currency for m in money} | ({settings.currency} if money else set())) > 1
    refused = "amounts in several currencies are not added up" if mixed else ""
    totals: list[float] = []
    if not mixed:
        totals, refused = _totals(parts, outside, hours, settings)
    years = sorted(str(d.year) for each in group if (d := read_date(each.case.note.date)))
    return RouteRow(
        route=most_often(each.route.route for each in group),
        causes=names,
        taken=len(taken),
        weighed=len(group) - len(taken),
        hours=_spread(hours),
        parts=None if mixed else _spread(m.amount for m in parts if m),
        outside=None if mixed else _spread(m.amount for m in outside if m),
        total=_spread(totals),
        currency=settings.currency,
        refused=refused,
        years=(years[0], years[-1]) if years else ("", ""),
        fixed=sum(ended(each.case.note) == "fixed" for each in judged),
        judged=len(judged),
        second_go=sum(came_back(case.note) and ended(case.note) == "fixed" for case in cases),
        comebacks=sum(came_back(case.note) and ended(case.note) != "fixed" for case in cases),
        sources=tuple(each.source for each in group),
    )


def _totals(
    parts: Sequence[Money | None],
    outside: Sequence[Money | None],
    hours: Sequence[float | None],
    settings: Settings,
) -> tuple[list[float], str]:
    """The total of each case that can be worked out; why there is none, else an empty text."""
    rate = settings.labour_rate
    if rate is None and any(h is not None for h in hours):
        return [], "no labour_rate in shop.toml"
    found = []
    for part, bought, hour in zip(parts, outside, hours, strict=True):
        if part is None and bought is None and hour is None:
            continue
        labour = Money((rate or 0.0) * (hour or 0.0), settings.currency)
        try:
            found.append(total([labour, *(m for m in (part, bought) if m is not None)]).amount)
        except MixedCurrencies as error:
            return [], str(error)
    return found, ""


def _spread(figures: Iterable[float | None]) -> Spread | None:
    known = [figure for figure in figures if figure is not None]
    if not known:
        return None
    return Spread(float(median(known)), min(known), max(known), len(known))


def comparisons(rows: Sequence[RouteRow], settings: Settings) -> tuple[Comparison, ...]:
    """Compare the routes for the same causes two by two, where both have a total.

    The first is the one with the cheaper goods. It takes `(total of the second - goods of the
    first) / labour rate` hours until it costs as much as the second: the break-even.
    """
    found = []
    for one, other in combinations(rows, 2):
        if one.causes == other.causes and one.total and other.total:
            found.append(_compared(one, other, settings.labour_rate))
    return tuple(found)


def _compared(one: RouteRow, other: RouteRow, rate: float | None) -> Comparison:
    first, second = sorted((one, other), key=_goods)
    assert first.total and second.total
    difference = second.total.median - first.total.median
    point = None
    if rate and first.hours and _goods(first) < _goods(second):
        hours = (second.total.median - _goods(first)) / rate
        point = hours if hours > 0 else None
    sources: Sources = (*first.sources, *second.sources)
    return Comparison(
        one.causes, first.route, second.route, difference, one.currency, point, sources
    )


def _goods(row: RouteRow) -> float:
    """Parts and outside work, in money."""
    return sum(spread.median for spread in (row.parts, row.outside) if spread)
