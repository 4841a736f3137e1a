"""Statistics on few cases: edges and properties. Against references: tests/outside."""

from __future__ import annotations

import math
from statistics import median

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore.evidence.statistics import (
    beta_below,
    beta_quantile,
    effective_size,
    entropy,
    fisher_exact,
    information_gain,
    jeffreys,
    weighted_median,
)

WEIGHTS = st.lists(st.floats(0.01, 10.0), min_size=1, max_size=12)


def test_equal_weights_count_as_many_as_they_are() -> None:
    assert effective_size([0.4] * 7) == pytest.approx(7.0)
    assert effective_size([]) == effective_size([0.0]) == 0.0


@given(WEIGHTS)
def test_effective_size_lies_between_one_and_the_number_of_cases(weights: list[float]) -> None:
    assert 1.0 - 1e-9 <= effective_size(weights) <= len(weights) + 1e-9


@given(st.floats(0.0, 1.0), st.floats(2.0, 60.0))
def test_an_interval_of_whole_cases_holds_its_share(share: float, size: float) -> None:
    successes = 1 + share * (size - 2)
    low, high = jeffreys(successes, size)
    assert 0.0 <= low <= successes / size <= high <= 1.0


@pytest.mark.parametrize(("successes", "size"), [(-1, 3), (4, 3), (1, -1)])
def test_impossible_counts_are_refused(successes: float, size: float) -> None:
    with pytest.raises(ValueError, match="of"):
        jeffreys(successes, size)


@given(st.floats(0.001, 0.999), st.floats(0.5, 40.0), st.floats(0.5, 40.0))
def test_a_quantile_undoes_its_function(chance: float, a: float, b: float) -> None:
    assert beta_below(beta_quantile(chance, a, b), a, b) == pytest.approx(chance, abs=1e-9)


def test_entropy_is_in_bits() -> None:
    assert entropy([1, 1]) == pytest.approx(1.0)
    assert entropy([3, 3, 3, 3]) == pytest.approx(2.0)
    assert entropy([5]) == entropy([]) == entropy([0, 0]) == 0.0


@given(WEIGHTS, st.data())
def test_a_gain_is_never_negative_nor_above_the_entropy(
    prior: list[float], data: st.DataObject
) -> None:
    good = [data.draw(st.floats(0.0, 1.0)) for _ in prior]
    gain = information_gain(prior, [good, [1 - each for each in good]])
    assert 0.0 <= gain <= entropy(prior) + 1e-9


def test_a_result_that_tells_all_gains_all_and_one_that_tells_nothing_gains_nothing() -> None:
    assert information_gain([1, 1], [[1, 0], [0, 1]]) == pytest.approx(1.0)
    assert information_gain([1, 1], [[0.5, 0.5], [0.5, 0.5]]) == 0.0


@given(st.lists(st.floats(-100, 100), min_size=1, max_size=15))
def test_equal_weights_give_the_ordinary_median(values: list[float]) -> None:
    assert weighted_median(values, [2.0] * len(values)) == pytest.approx(median(values))


def test_a_median_needs_weight() -> None:
    with pytest.raises(ValueError, match="positive"):
        weighted_median([], [])
    with pytest.raises(ValueError, match="positive"):
        weighted_median([1.0], [-1.0])


@given(*[st.integers(0, 12)] * 4)
def test_chances_of_a_table_are_chances(a: int, b: int, c: int, d: int) -> None:
    one, both = fisher_exact(a, b, c, d)
    assert 0.0 < one <= 1.0 + 1e-12 and 0.0 < both <= 1.0 + 1e-12
    assert math.isclose(fisher_exact(a, b, c, d)[1], fisher_exact(c, d, a, b)[1])


def test_negative_counts_are_refused() -> None:
    with pytest.raises(ValueError, match="negative"):
        fisher_exact(-1, 0, 0, 0)
