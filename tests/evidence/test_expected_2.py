"""The demo shop's evidence against 25 questions of a second author, who saw the notes alone.

He named the cause, its case, verdicts of measured checks, and what routes came to; nothing here was
fitted on his questions.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from benchlore.evidence.model import Evidence, Spread
from benchlore.evidence.summing import sum_up
from benchlore.search.engine import Engine
from benchlore.search.results import Question

DATA = Path(__file__).parent / "data" / "expected_2.toml"
ASKED = tomllib.loads(DATA.read_text("utf-8"))["question"]
TOP_CAUSE = 0.90
Summed = list[tuple[dict[str, Any], Evidence]]


@pytest.fixture(scope="module")
def summed(demo: Engine) -> Summed:
    index = demo.index
    return [
        (asked, sum_up(index.store, index.shop.settings, demo.find(Question(asked["ask"]))))
        for asked in ASKED
    ]


def test_the_expected_cause_comes_first(summed: Summed) -> None:
    wrong = [
        asked["ask"]
        for asked, evidence in summed
        if not evidence.causes
        or not any(s.case in asked["top_cases"] for s in evidence.causes[0].sources)
    ]
    assert len(summed) == 25
    assert len(wrong) <= round((1 - TOP_CAUSE) * len(summed)), wrong


def test_verdicts_are_those_given_by_hand(summed: Summed) -> None:
    seen = 0
    for asked, evidence in summed:
        values = {
            (value.source.case, value.check): value.verdict
            for row in evidence.findings
            for value in row.values
        }
        for wanted in asked["verdict"]:
            found = values.get((wanted["case"], wanted["check"]))
            if found is not None:  # the case is among those added up
                assert found == wanted["verdict"], wanted
                seen += 1
    assert seen >= 75


def test_routes_are_those_worked_out_by_hand(summed: Summed) -> None:
    seen = 0
    for asked, evidence in summed:
        for wanted in asked["route"]:
            row = next(
                (
                    row
                    for row in evidence.routes
                    if row.route == wanted["route"]
                    and any(source.case == wanted["case"] for source in row.sources)
                ),
                None,
            )
            if row is not None:
                seen += 1
                for name, spread in (("parts", row.parts), ("hours", row.hours)):
                    assert name not in wanted or _holds(spread, wanted[name]), (wanted, row)
                assert _holds(row.total, wanted["total"]), (wanted, row)
                if row.judged == 1:
                    assert bool(row.fixed) == wanted["fixed"]
    assert seen >= 20


def _holds(spread: Spread | None, figure: float) -> bool:
    return spread is not None and spread.low - 0.005 <= figure <= spread.high + 0.005
