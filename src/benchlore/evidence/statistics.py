"""Statistics on few cases, in plain Python.

scipy has all of these but takes 0.27 s to import, a third of what `benchlore find` may take; the
tests compare the two.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

_TINY = 1e-300
_PRECISION = 1e-15
_STEPS = 500


def effective_size(weights: Sequence[float]) -> float:
    """Return how many equal cases weigh as much as these: (sum w)^2 / sum w^2; 0.0 for none.

    Kish 1965, "Survey Sampling", section 11.7. Weights are not negative.
    """
    squares = math.fsum(weight * weight for weight in weights)
    return math.fsum(weights) ** 2 / squares if squares else 0.0


def jeffreys(successes: float, size: float, level: float = 0.95) -> tuple[float, float]:
    """Return the ends of Jeffreys' interval for a share, 0..1.

    The equal-tailed quantiles of Beta(x + 1/2, n - x + 1/2); the lower end is 0 where x = 0 and the
    upper 1 where x = n (Brown, Cai & DasGupta 2001, "Interval Estimation for a Binomial
    Proportion", Statistical Science 16(2), section 3.1.3). x and n need not be whole.

    Raises:
        ValueError: not 0 <= successes <= size, or not 0 < level < 1.
    """
    successes = min(successes, size) if successes < size * (1 + 1e-12) + 1e-12 else successes
    if not (0 <= successes <= size and 0 < level < 1):
        raise ValueError(f"{successes} of {size} at {level}")
    a, b, tail = successes + 0.5, size - successes + 0.5, (1 - level) / 2
    near = 1e-9 * max(size, 1.0)
    low = 0.0 if successes <= near else beta_quantile(tail, a, b)
    high = 1.0 if size - successes <= near else beta_quantile(1 - tail, a, b)
    return low, high


def beta_quantile(chance: float, a: float, b: float) -> float:
    """Return x with I_x(a, b) = `chance`; a and b above 0.

    Newton's steps, each kept within what is known to hold the root, else halving it.
    """
    low, high = 0.0, 1.0
    x = a / (a + b)
    log_scale = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    for _ in range(_STEPS):
        miss = beta_below(x, a, b) - chance
        low, high = (x, high) if miss < 0 else (low, x)
        slope = math.exp(log_scale + (a - 1) * math.log(x) + (b - 1) * math.log1p(-x))
        step = x - miss / slope if slope > _TINY else low
        then = step if low < step < high else (low + high) / 2
        if abs(then - x) <= 1e-12 * max(x, _TINY) or then in (0.0, 1.0):
            return then
        x = then
    return x


def beta_below(x: float, a: float, b: float) -> float:
    """Return the regularised incomplete beta function I_x(a, b), 0..1.

    By its continued fraction (NIST Digital Library of Mathematical Functions, 8.17.22), evaluated
    with the modified Lentz method, and I_x(a, b) = 1 - I_1-x(b, a) where that converges faster.
    """
    if x <= 0.0 or x >= 1.0:
        return 0.0 if x <= 0.0 else 1.0
    if x > (a + 1) / (a + b + 2):
        return 1.0 - beta_below(1.0 - x, b, a)
    front = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    front = math.exp(front + a * math.log(x) + b * math.log1p(-x)) / a
    c, d = 1.0, 1.0 / _away(1.0 - (a + b) * x / (a + 1))
    fraction = d
    for m in range(1, _STEPS):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        change = 1.0
        for term in (even, odd):
            d = 1.0 / _away(1.0 + term * d)
            c = _away(1.0 + term / c)
            change = c * d
            fraction *= change
        if abs(change - 1.0) < _PRECISION:
            break
    return front * fraction


def _away(value: float) -> float:
    """Keep a divisor away from zero."""
    return value if abs(value) > _TINY else _TINY


def entropy(weights: Sequence[float]) -> float:
    """Return the entropy in bits of the chances that `weights` are in proportion to.

    Shannon 1948, section 6: -sum p log2 p; 0.0 for no weight at all. Weights are not negative.
    """
    total = math.fsum(weights)
    if total <= 0:
        return 0.0
    shares = [weight / total for weight in weights if weight > 0]
    return max(0.0, -math.fsum(share * math.log2(share) for share in shares))


def information_gain(prior: Sequence[float], table: Sequence[Sequence[float]]) -> float:
    """Return in bits how much a result is expected to narrow the hypotheses.

    H(prior) - sum over r of P(r) H(hypothesis | r), Quinlan 1986, "Induction of Decision Trees",
    Machine Learning 1(1), section 4. `table[r][h]` is the chance of result r under hypothesis h;
    the shape is (results, hypotheses) and each column adds up to 1.
    """
    total = math.fsum(prior)
    if total <= 0:
        return 0.0
    chances = [weight / total for weight in prior]
    left = 0.0
    for row in table:
        joint = [chance * given for chance, given in zip(chances, row, strict=True)]
        left += math.fsum(joint) * entropy(joint)
    return max(0.0, entropy(chances) - left)


def weighted_median(values: Sequence[float], weights: Sequence[float]) -> float:
    """Return the value at which half of the weight lies on either side.

    Where the half falls exactly between two values, their mean: equal weights give the ordinary
    median.

    Raises:
        ValueError: there is no weight, or a negative one.
    """
    pairs = sorted((v, w) for v, w in zip(values, weights, strict=True) if w)
    total = math.fsum(weight for _, weight in pairs)
    if not pairs or min(weight for _, weight in pairs) < 0:
        raise ValueError("weights must be positive")
    gone = 0.0
    for place, (value, weight) in enumerate(pairs):
        gone += weight
        if math.isclose(gone, total / 2, rel_tol=1e-12) and place + 1 < len(pairs):
            return (value + pairs[place + 1][0]) / 2
        if gone > total / 2:
            return value
    return pairs[-1][0]


def fisher_exact(a: int, b: int, c: int, d: int) -> tuple[float, float]:
    """Return the one-sided (a greater than by chance) and two-sided chance of a 2 x 2 table.

    Fisher 1935, "The Design of Experiments", chapter 2: the hypergeometric chance of tables with
    the same margins; two-sided over those no likelier than this one.

    Raises:
        ValueError: a count is negative.
    """
    if min(a, b, c, d) < 0:
        raise ValueError("counts must not be negative")
    first, second, column = a + b, c + d, a + c
    least = max(0, column - second)
    ways = [math.comb(first, least) * math.comb(second, column - least)]
    for k in range(least, min(first, column)):
        more = ways[-1] * (first - k) * (column - k)
        ways.append(more // ((k + 1) * (second - column + k + 1)))  # without a rest
    at = a - least
    total = sum(ways)
    greater = sum(ways[at:]) / total
    both = sum(way for way in ways if way <= ways[at] * (1 + 1e-7)) / total
    return greater, both
