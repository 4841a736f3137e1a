"""Which written checks stand in one row of findings.

The pairs were labelled by other authors than the rules': common practice, no source. The rules were
made by `same_check_a.txt` and the first half of `same_check_b.txt`; the second half was held back:
its figures were looked at a few times, and one text of it was seen in a failure of a test below.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore.language.checks import CheckReading, read_check, same_check
from language.pairs import Pair, Written, below, pairs

A = pairs("same_check_a.txt")
B = pairs("same_check_b.txt")
MADE_BY = [*A, *B[:60]]  # a failure must not show what is held back
TEXTS = sorted({text for pair in MADE_BY for text in (pair.one, pair.other)})

FLOORS = [
    ("made by", A, 0.95, 0.82),
    ("made by, the other author", B[:60], 0.93, 0.80),
    ("held back", B[60:], 0.60, 0.43),
]
"""Pairs, and the least precision and recall, slightly under what was reached."""

written = st.sampled_from(TEXTS)
texts = st.text(max_size=60)


def same(one: Written, other: Written) -> bool:
    return same_check(read_check(*one), read_check(*other))


def test_labelled_pairs() -> None:
    assert not below(FLOORS, same)


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        (
            ("wheel bearing axial play", "0.3 mm"),
            ("wheel bearing end float", "9 thou"),
            True,
        ),
        (("oil pressure, idle, hot", "1 bar"), ("oil pressure, idle, cold", "4 bar"), False),
        (("battery volts, cranking", "9 V"), ("battery volts, rested", "12 V"), False),
        (("volt drop, earth side", "1 V"), ("volt drop, supply side", "1 V"), False),
        (("disc runout", "0.1 mm"), ("disc thickness", "20 mm"), False),
        (("pad thickness, n/s/f", "2 mm"), ("pad thickness, o/s/r", "7 mm"), True),
        (
            ("coolant hose, inlet temperature", "90 C"),
            ("coolant hose, outlet temperature", "40 C"),
            False,
        ),
        (("glow plug", "0.8 ohm"), ("glow plug", "11 A"), False),
    ],
)
def test_what_tells_two_checks_apart(one: Written, other: Written, expected: bool) -> None:
    assert same(one, other) is expected


def test_the_unit_of_the_value_tells_the_dimension() -> None:
    assert read_check("lift pump", "5 psi").dimension == "pressure"
    assert read_check("lift pump", "ok").dimension == ""


@given(written, written)
def test_symmetric(one: Written, other: Written) -> None:
    a, b = read_check(*one), read_check(*other)
    assert same_check(a, b) == same_check(b, a)


@given(st.sampled_from(MADE_BY))
def test_labelled_pairs_are_told_alike_either_way(pair: Pair) -> None:
    assert same(pair.one, pair.other) == same(pair.other, pair.one)


@given(texts, texts, written)
def test_nothing_raises(name: str, value: str, other: Written) -> None:
    reading = read_check(name, value)
    assert isinstance(reading, CheckReading)
    same_check(reading, read_check(*other))
