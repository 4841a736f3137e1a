"""The statistics of the evidence against published worked values and reference libraries.

Unlike the other outside checks these need no data from a registry.
"""

from __future__ import annotations

import math
from collections import Counter

import numpy as np
import pytest
from scipy import stats

from benchlore.evidence.statistics import (
    effective_size,
    entropy,
    fisher_exact,
    information_gain,
    jeffreys,
    weighted_median,
)


@pytest.mark.parametrize("size", [1, 2, 3, 5, 10, 30, 100])
def test_jeffreys_interval_is_that_of_scipy(size: int) -> None:
    """scipy.stats.beta: the quantiles of Beta(x + 1/2, n - x + 1/2)."""
    for successes in range(size + 1):
        low, high = jeffreys(successes, size)
        posterior = stats.beta(successes + 0.5, size - successes + 0.5)
        assert low == pytest.approx(posterior.ppf(0.025) if successes else 0.0, abs=1e-9)
        assert high == pytest.approx(posterior.ppf(0.975) if successes < size else 1.0, abs=1e-9)


def test_jeffreys_interval_at_fractional_counts_is_that_of_scipy() -> None:
    """Effective sample sizes are not whole."""
    for share in (0.1, 0.37, 0.5, 0.93):
        for size in (1.7, 3.3, 8.9):
            low, high = jeffreys(share * size, size)
            posterior = stats.beta(share * size + 0.5, (1 - share) * size + 0.5)
            assert (low, high) == pytest.approx((posterior.ppf(0.025), posterior.ppf(0.975)))


@pytest.mark.parametrize(
    ("successes", "size", "low", "high"),
    [(0, 7, 0.0, 0.292), (1, 7, 0.016, 0.501), (2, 7, 0.065, 0.648), (3, 7, 0.139, 0.766)],
)
def test_jeffreys_interval_of_a_printed_table(
    successes: int, size: int, low: float, high: float
) -> None:
    """Brown, Cai & DasGupta 2001, Statistical Science 16(2), table 5 (95 % Jeffreys limits, n = 7):
    from memory; the row x = 0 has the lower end set to 0 as they advise."""
    assert jeffreys(successes, size) == pytest.approx((low, high), abs=0.0006)


# Quinlan 1986, "Induction of Decision Trees", table 1: outlook, temperature, humidity, windy and
# class.
WEATHER = """
sunny hot high false N
sunny hot high true N
overcast hot high false P
rain mild high false P
rain cool normal false P
rain cool normal true N
overcast cool normal true P
sunny mild high false N
sunny cool normal false P
rain mild normal false P
sunny mild normal true P
overcast mild high true P
overcast hot normal false P
rain mild high true N
"""
ROWS = [line.split() for line in WEATHER.split("\n") if line]


def gain_of(column: int) -> float:
    prior = Counter(row[-1] for row in ROWS)
    classes = sorted(prior)
    values = sorted({row[column] for row in ROWS})
    table = [
        [sum(r[column] == value and r[-1] == kind for r in ROWS) / prior[kind] for kind in classes]
        for value in values
    ]
    return information_gain([prior[kind] for kind in classes], table)


@pytest.mark.parametrize(
    ("column", "bits"), [(0, 0.246), (1, 0.029), (2, 0.151), (3, 0.048)], ids=str
)
def test_information_gain_of_quinlans_weather(column: int, bits: float) -> None:
    """Quinlan 1986, section 4, prints 0.246, 0.029, 0.151 and 0.048 bits; the first is 0.2467."""
    assert gain_of(column) == pytest.approx(bits, abs=0.001)


@pytest.mark.parametrize("column", range(4))
def test_information_gain_is_that_of_scipy_and_scikit_learn(column: int) -> None:
    """Mutual information of the two columns, by scikit-learn in nats; entropies by scipy."""
    metrics = pytest.importorskip("sklearn.metrics")
    nats = metrics.mutual_info_score([r[column] for r in ROWS], [r[-1] for r in ROWS])
    assert gain_of(column) == pytest.approx(nats / math.log(2), abs=1e-12)
    counts = list(Counter(r[column] for r in ROWS).values())
    assert entropy(counts) == pytest.approx(stats.entropy(counts, base=2))


def test_fisher_of_the_lady_tasting_tea() -> None:
    """Fisher 1935, "The Design of Experiments", chapter 2: three of four cups told right."""
    one, both = fisher_exact(3, 1, 1, 3)
    assert one == pytest.approx(17 / 70) == pytest.approx(0.243, abs=0.0005)
    assert both == pytest.approx(34 / 70) == pytest.approx(0.486, abs=0.0005)


def test_fisher_is_that_of_scipy() -> None:
    """scipy.stats.fisher_exact over random small tables."""
    for a, b, c, d in np.random.default_rng(4).integers(0, 15, (120, 4)).tolist():
        one, both = fisher_exact(a, b, c, d)
        table = [[a, b], [c, d]]
        assert one == pytest.approx(stats.fisher_exact(table, "greater").pvalue, abs=1e-12)
        assert both == pytest.approx(stats.fisher_exact(table).pvalue, abs=1e-9)


def test_effective_size_and_weighted_median_are_those_of_repeated_values() -> None:
    """Whole weights: the median of each value repeated so often, by numpy; Kish by its formula."""
    random = np.random.default_rng(7)
    for _ in range(60):
        values = random.normal(size=random.integers(1, 12))
        weights = random.integers(1, 6, size=len(values))
        repeated = np.repeat(values, weights)
        found = weighted_median(values.tolist(), weights.tolist())
        assert found == pytest.approx(float(np.median(repeated)))
        size = weights.sum() ** 2 / (weights.astype(float) ** 2).sum()
        assert effective_size(weights.tolist()) == pytest.approx(float(size))
