"""The demo shop's evidence against what people read out of the notes.

The questions and their causes were written from the notes; verdicts are those that another author
gave one by one; routes are worked out anew from the YAML of the notes by PyYAML alone.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from statistics import median
from typing import Any

import pytest
import yaml

from benchlore.evidence.model import Evidence, RouteRow
from benchlore.evidence.summing import sum_up
from benchlore.search.engine import Engine
from benchlore.search.results import Question
from shops import REPOSITORY

HERE = Path(__file__).parent
ASKED = tomllib.loads((HERE / "data" / "expected.toml").read_text("utf-8"))["question"]
VERDICTS = {
    tuple(line.split("\t")[:3]): line.split("\t")[4]
    for line in (HERE.parent / "language/data/verdicts.tsv").read_text("utf-8").splitlines()
    if not line.startswith("#")
}
RATE = 68
"""GBP an hour, shop.toml of the demo shop."""

TOP_CAUSE = 0.90


@pytest.fixture(scope="module")
def summed(demo: Engine) -> list[tuple[dict[str, Any], Evidence]]:
    """Every question with its evidence."""
    index = demo.index
    return [
        (asked, sum_up(index.store, index.shop.settings, demo.find(Question(asked["ask"]))))
        for asked in ASKED
    ]


def test_the_expected_cause_comes_first(summed: list[tuple[dict[str, Any], Evidence]]) -> None:
    assert len(summed) == 25
    wrong = [
        (asked["ask"], [cause.name for cause in evidence.causes[:3]])
        for asked, evidence in summed
        if not evidence.causes
        or not any(word in evidence.causes[0].name for word in asked["cause"])
    ]
    assert len(wrong) <= round((1 - TOP_CAUSE) * len(summed)), wrong


def test_all_verdicts_are_right(summed: list[tuple[dict[str, Any], Evidence]]) -> None:
    judged = 0
    for _, evidence in summed:
        for row in evidence.findings:
            for value in row.values:
                lines = (REPOSITORY / value.source.file).read_text("utf-8").splitlines()
                said = "\n".join(lines[value.source.first_line - 1 : value.source.last_line])
                key = next(
                    k
                    for k in VERDICTS
                    if k[0] == value.source.file and k[2] == value.text and k[1] in _plain(said)
                )
                assert value.verdict == VERDICTS[key], (key, value)
                judged += 1
    assert judged > 100


def _plain(text: str) -> str:
    return text.replace("''", "'")


def test_verdicts_named_in_the_expectations(
    summed: list[tuple[dict[str, Any], Evidence]],
) -> None:
    for asked, evidence in summed:
        values = [
            v for row in evidence.findings for v in row.values if v.source.case == asked["case"]
        ]
        for verdict in ("beyond", "within"):
            for check in asked.get(verdict, ()):
                path = next(k[0] for k in VERDICTS if k[1] == check)
                want = {k[2] for k in VERDICTS if k[:2] == (path, check)}
                assert any(v.text in want and v.verdict == verdict for v in values), (asked, check)


def test_routes_and_totals_named_in_the_expectations(
    summed: list[tuple[dict[str, Any], Evidence]],
) -> None:
    for asked, evidence in summed:
        if "route" in asked:
            row = next(r for r in evidence.routes if r.route == asked["route"])
            assert row.total is not None
            assert row.total.low <= asked["total"] <= row.total.high
            if row.total.count == 1:
                assert row.total.median == pytest.approx(asked["total"])


def test_every_route_is_what_its_notes_come_to(
    summed: list[tuple[dict[str, Any], Evidence]],
) -> None:
    seen = 0
    for _, evidence in summed:
        for row in evidence.routes:
            stated = [_route(source.file, source.first_line) for source in row.sources]
            totals = [_total(each) for each in stated]
            assert row.taken == sum(bool(each.get("chosen")) for each in stated)
            _same_median(row, totals)
            seen += 1
    assert seen > 60


def _same_median(row: RouteRow, totals: list[float]) -> None:
    assert row.total is not None
    assert row.total.median == pytest.approx(median(totals))
    assert (row.total.low, row.total.high) == pytest.approx((min(totals), max(totals)))


def _total(route: dict[str, Any]) -> float:
    goods = float(route.get("parts_cost", 0)) + float(route.get("outside_cost", 0))
    return goods + RATE * float(route.get("labour_hours", 0))


def _route(file: str, line: int) -> dict[str, Any]:
    """The route that starts on `line`, read by PyYAML alone."""
    text = (REPOSITORY / file).read_text("utf-8")
    front = text.split("---\n")[1]
    node = yaml.compose(front)
    assert isinstance(node, yaml.MappingNode)
    routes = next(value for key, value in node.value if key.value == "routes")
    place = [each.start_mark.line + 2 for each in routes.value].index(line)
    found: dict[str, Any] = yaml.safe_load(front)["routes"][place]
    return found
