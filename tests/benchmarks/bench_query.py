"""A query in the running program: index open, encoder loaded."""

from __future__ import annotations

import random

from tests import opendata
from tests.benchmarks.measuring import Row, median, milliseconds, percentile_95, timed
from tests.benchmarks.shops import SEED, BuiltShop

from benchlore.index.opened import open_index
from benchlore.search.engine import Engine
from benchlore.search.results import Question

QUERIES = 200
WARMING = 10


def rows(built: BuiltShop) -> list[Row]:
    """Time `QUERIES` different questions, each asked once."""
    index = open_index(built.shop)
    index.load()
    engine = Engine(index)
    spent = [timed(lambda text=text: engine.find(Question(text))) for text in questions()]
    index.close()
    spent = spent[WARMING:]
    return [
        Row(
            f"a query in the running program, {built.notes:,} notes ({built.passages:,} passages):"
            " median, 95th percentile",
            "15 ms, 40 ms",
            f"{milliseconds(median(spent))}, {milliseconds(percentile_95(spent))}",
        )
    ]


def questions() -> list[str]:
    """Two real work orders each, none of which a generated note joins in just this way."""
    orders = opendata.work_orders(opendata.read(opendata.WORK_ORDERS))
    dice = random.Random(SEED + 1)
    return [
        ", ".join(order.text.lower() for order in dice.sample(orders, 2))
        for _ in range(WARMING + QUERIES)
    ]
