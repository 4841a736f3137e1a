"""Known-item search over published trouble codes."""

from __future__ import annotations

import json
import random
from collections.abc import Callable, Mapping

import pytest

import opendata
from benchlore.search.engine import Engine
from benchlore.search.results import Question
from outside.searched import ShopOf

QUERIES = 200
LEAST_MRR = 0.99
"""Measured: 1.000."""

WRITTEN = ("{}", "{lower}", "{letter} {number}", "{letter}-{number}", "code {}", "{lower} stored")
"""The ways in which a code is typed, in turn."""


@pytest.fixture(scope="module")
def codes() -> Mapping[str, str]:
    return opendata.trouble_codes(opendata.needed(opendata.TROUBLE_CODES))


@pytest.fixture(scope="module")
def engine(codes: Mapping[str, str], shop_of: ShopOf) -> Engine:
    """A shop with one note for each code."""
    return shop_of(
        "codes",
        {
            f"{code}.md": f"---\ncodes: [{code}]\nsymptom: {json.dumps(text)}\n---\n"
            for code, text in codes.items()
        },
    )


def found(engine: Engine, question: str) -> list[str]:
    """The codes of the notes found, best first."""
    answer = engine.find(Question(question, limit=20))
    return [hit.note.codes[0].text for hit in answer.cases]


def written(code: str, turn: int) -> str:
    form = WRITTEN[turn % len(WRITTEN)]
    return form.format(code, lower=code.lower(), letter=code[0], number=code[1:])


def test_a_code_typed_in_any_of_the_usual_ways_comes_first(
    engine: Engine, codes: Mapping[str, str]
) -> None:
    """Source: SAE J2012 codes as obd 0.7.3 carries them; 200 of 2,066, seed 2012."""
    missed = []
    for turn, code in enumerate(random.Random(2012).sample(sorted(codes), QUERIES)):
        question = written(code, turn)
        if found(engine, question)[:1] != [code]:
            missed.append(question)
    assert not missed


def test_the_text_of_a_code_finds_it(
    engine: Engine, codes: Mapping[str, str], figure: Callable[[str], None]
) -> None:
    """Source: SAE J2012 texts as obd 0.7.3 carries them; 200 of 2,066, seed 15031.

    Mean reciprocal rank; another code with the very same text is as right.
    """
    total = 0.0
    for code in random.Random(15031).sample(sorted(codes), QUERIES):
        ranked = [codes[other] == codes[code] for other in found(engine, codes[code])]
        total += 1 / (ranked.index(True) + 1) if True in ranked else 0.0
    figure(f"MRR over {QUERIES} code texts: {total / QUERIES:.3f}")
    assert total / QUERIES >= LEAST_MRR
