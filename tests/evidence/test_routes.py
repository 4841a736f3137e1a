"""Repair routes: hours, costs, totals at the shop's rate, break-even, mixed currencies."""

from __future__ import annotations

import pytest

from benchlore.evidence.summing import evidence_of
from benchlore.evidence.telling import comparison_line
from benchlore.shop import Settings
from evidence.cases import SHOP, case, sum_of

ROUTED = """
    date: {year}-05-14
    symptom: hums
    causes: [{{part: alternator, fault: diode short, certainty: proved}}]
    routes:
      - {{route: exchange alternator, parts_cost: {unit}, labour_hours: 1.5, chosen: {unit_taken}}}
      - route: repair the diode pack
        parts_cost: {repair}
        labour_hours: {hours}
        chosen: {repair_taken}
    outcome: {{result: fixed, comeback: {back}}}
"""


def routed(number: int, **said: object) -> object:
    usual = {"year": 2020 + number, "unit": 165, "repair": 40, "hours": 2.0, "unit_taken": "yes",
             "repair_taken": "no", "back": "no"}  # fmt: skip
    return case(number, ROUTED.format(**{**usual, **said}))


def test_a_route_has_its_figures_over_the_cases() -> None:
    found = sum_of(
        routed(1), routed(2, unit=185, back="yes"), routed(3, unit_taken="no", repair_taken="yes")
    )  # type: ignore[arg-type]
    exchange = next(row for row in found.routes if row.route == "exchange alternator")
    assert (exchange.taken, exchange.weighed) == (2, 1)
    assert exchange.parts and exchange.hours and exchange.total
    assert (exchange.parts.median, exchange.parts.low, exchange.parts.high) == (165, 165, 185)
    # 60 an hour: 165 + 1.5 x 60 = 255
    assert (exchange.total.median, exchange.total.high) == (255, 275)
    assert exchange.years == ("2021", "2023")
    assert (exchange.fixed, exchange.judged) == (2, 2)
    # fixed in the end, so it was not this route that it came back from
    assert (exchange.second_go, exchange.comebacks) == (1, 0)
    assert len(exchange.sources) == 3


def test_two_routes_are_compared_with_their_break_even() -> None:
    found = sum_of(routed(1))  # type: ignore[arg-type]
    (pair,) = found.comparisons
    assert (pair.first, pair.second) == ("repair the diode pack", "exchange alternator")
    # exchange 165 + 90 = 255; repair 40 + 120 = 160; equal where 40 + 60 h = 255
    assert pair.difference == pytest.approx(95)
    assert pair.break_even_hours == pytest.approx((255 - 40) / 60)
    assert "cheaper once repair the diode pack takes more than 3.6 h" in comparison_line(pair)


def test_mixed_currencies_are_refused() -> None:
    found = sum_of(routed(1, unit='"140 EUR"'), routed(2))  # type: ignore[arg-type]
    exchange = next(row for row in found.routes if row.route == "exchange alternator")
    assert exchange.total is None and exchange.parts is None
    assert "currencies" in exchange.refused


def test_without_a_labour_rate_there_is_no_total() -> None:
    found = evidence_of((routed(1),), None, Settings(currency="GBP"))  # type: ignore[arg-type]
    assert all(row.total is None and "labour_rate" in row.refused for row in found.routes)


def test_a_pair_of_causes_has_routes_of_its_own() -> None:
    pair = """
        causes: [{part: radiator, fault: blocked}, {part: viscous fan, fault: slipping}]
        routes: [{route: radiator and fan, parts_cost: 300, labour_hours: 3, chosen: yes}]
    """
    (row,) = sum_of(case(1, pair)).routes
    assert set(row.causes) == {"radiator", "viscous fan"}
    assert row.total and row.total.median == 300 + 3 * (SHOP.labour_rate or 0)


def test_what_cannot_be_read_as_money_is_left_out() -> None:
    odd = "causes: [{part: radiator, fault: blocked}]\n"
    odd += "routes: [{route: new radiator, parts_cost: a lot}]"
    (row,) = sum_of(case(1, odd)).routes
    assert (row.parts, row.total) == (None, None)
