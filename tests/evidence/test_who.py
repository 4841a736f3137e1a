"""Who it happens to: engine, build year and distance against a cause, in all cases of a shop."""

from __future__ import annotations

import pytest

from benchlore.evidence.summing import sum_up
from benchlore.search.results import Question
from shops import ShopFolder

NOTE = """---
case: {year}-{number:04}
date: {date}-03-01
machine: {{make: Halden, model: Carrier 35, year: {year}, engine: {engine}, odometer: {km} km}}
symptom: {symptom}
system: engine
causes:
  - {{part: {part}, fault: {fault}, certainty: proved}}
---
"""


def write(shop: ShopFolder, number: int, year: int, **said: object) -> None:
    usual = {"engine": "HD22", "km": 90_000 + number, "date": 2025,
             "symptom": "Rattles from the timing end on the first start, gone in seconds",
             "part": "timing chain tensioner", "fault": "drains back overnight"}  # fmt: skip
    shop.write(f"kb/{number}.md", NOTE.format(number=number, year=year, **{**usual, **said}))


@pytest.fixture
def shop(shop_folder: ShopFolder) -> ShopFolder:
    """Five tensioners on engines up to 2018, nine other jobs on later ones, six other engines."""
    for number, year in enumerate((2014, 2015, 2016, 2018, 2018)):
        write(shop_folder, number, year)
    other = {
        "part": "water pump",
        "fault": "leaking",
        "symptom": "Loses coolant, drips at the front",
    }
    for number, year in enumerate((2019, 2019, 2020, 2020, 2021, 2021, 2022, 2022, 2023), 10):
        write(shop_folder, number, year, **other)
    for number in range(30, 36):
        write(shop_folder, number, 2016, engine="BP16", **other)
    shop_folder.build()
    return shop_folder


def test_a_cause_is_set_against_build_years(shop: ShopFolder) -> None:
    engine = shop.engine()
    answer = engine.find(Question("rattles from the timing end on first start"))
    found = sum_up(engine.index.store, engine.index.shop.settings, answer)
    years = [who for who in found.who if "built up to 2018" in who.text]
    assert years, [who.text for who in found.who]
    assert years[0].table == (5, 0, 0, 9)
    assert "all 5" in years[0].text and "none of 9 later ones" in years[0].text
    # 1 / (14 over 5) = 1 / 2002, Fisher's exact test (Fisher 1935), two cuts tried at most
    assert years[0].chance == pytest.approx(1 / 2002)
    assert len(years[0].sources) == 5


def test_nothing_is_said_where_the_numbers_do_not_allow_it(shop_folder: ShopFolder) -> None:
    for number, year in enumerate((2014, 2016, 2018)):
        write(shop_folder, number, year)
    write(shop_folder, 9, 2020, part="water pump", fault="leaking")
    shop_folder.build()
    engine = shop_folder.engine()
    answer = engine.find(Question("rattles from the timing end on first start"))
    assert not sum_up(engine.index.store, engine.index.shop.settings, answer).who


def test_an_unrelated_note_changes_no_count(shop: ShopFolder) -> None:
    ask = Question("rattles from the timing end on first start")
    engine = shop.engine()
    before = sum_up(engine.index.store, engine.index.shop.settings, engine.find(ask))
    shop.write("kb/odd.md", "---\nsymptom: Rear wiper leaves a smear\nsystem: body\n"
               "causes: [{part: wiper blade, fault: perished}]\n---\n")  # fmt: skip
    shop.build()
    engine = shop.engine()
    later = sum_up(engine.index.store, engine.index.shop.settings, engine.find(ask))

    def counts(evidence: object) -> object:
        return [(c.name, c.cases, c.sources) for c in evidence.causes]  # type: ignore[attr-defined]

    assert counts(before) == counts(later)
    assert [w.table for w in before.who] == [w.table for w in later.who]
