"""Costs of real work orders against an independent computation by pandas."""

from __future__ import annotations

import csv
import io

import pytest

import opendata
from benchlore.evidence.statistics import weighted_median
from benchlore.language.money import Money, read_money, total

pandas = pytest.importorskip("pandas")


def test_costs_add_up_and_their_medians_are_those_of_pandas() -> None:
    """nist-nestor's excavator work orders: the column Cost, by machine, by system and by part.

    Credits are no cost and left out on both sides; so is what is no number at all.
    """
    data = opendata.needed(opendata.WORK_ORDERS)
    rows = list(csv.DictReader(io.StringIO(data.decode("utf-8"))))
    costs = [read_money(row["Cost"], "AUD") for row in rows]
    table = pandas.read_csv(io.BytesIO(data), dtype=str, keep_default_na=False)
    table["Cost"] = pandas.to_numeric(table["Cost"], errors="coerce")
    table = table[table["Cost"] >= 0]

    known = [cost for cost in costs if cost is not None]
    assert len(known) == len(table) > 5400
    assert total(known).amount == pytest.approx(float(table["Cost"].sum()), rel=1e-12)
    for label in ("Asset", "MajorSystem", "Part"):
        medians = table.groupby(label)["Cost"].median()
        ours: dict[str, list[Money]] = {}
        for row, cost in zip(rows, costs, strict=True):
            if cost is not None:
                ours.setdefault(row[label], []).append(cost)
        assert set(ours) == set(medians.index)
        for name, group in ours.items():
            amounts = [cost.amount for cost in group]
            assert weighted_median(amounts, [1.0] * len(amounts)) == pytest.approx(medians[name])
