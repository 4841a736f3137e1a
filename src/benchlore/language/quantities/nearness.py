"""How near two measured values are, and keys by which an index finds near ones.

For two single values a and b of one dimension, in its base unit:

    near = 1 - gap / (WIDTH * size)        not below 0
    gap  = |a - b| - slack                 not below 0
    size = the greatest of |a|, |b| and the dimension's floor

so 8 % apart is 0.5 and 16 % apart is 0. For a dimension with a fixed width (temperature: 20 K) that
width stands for WIDTH * size. `slack` is 0 between values of one unit. Between values of two units
it is half the coarser last place that was written, at most SLACK of the size: 5.5 thou is "0.14 mm"
to whoever converted it. The shape and its two numbers are our own choice, no source; what they were
set by: 38 and 2.6 bar agree, 38 and 35 psi half, 38 and 20 psi not at all.

Two closed ranges are as near as the farther pair of their ends. Where one holds the other they are
at least HELD / (1 + d), d being the distance of the farther ends on the scale of `_place` (the
logarithm of their ratio): a value within a range, less the wider it is. A range with an open end is
near what it holds by OPEN / (1 + d), d from its known end; what falls short of that end as near as
to the end, times OPEN; another range open the same way at least as near as their ends are; one open
the other way not at all. A bare number is near a length that was written with the very same number
by BARE, to another bare number of that kind by 1.
"""

from __future__ import annotations

import math

from benchlore.language.quantities.model import DIMENSIONS, Dimension, Quantity

WIDTH, SLACK = 0.16, 0.05
HELD, OPEN, BARE = 0.45, 0.7, 0.5
_BARE_OF = "length"
"""What a bare "play" or "runout" is measured in."""

_BUCKET = 0.15
"""Width of a bucket on the scale of `_place`; at least how far apart values with near >= 0.5 can
lie there, slack included: -ln(1 - WIDTH / 2 - SLACK) = 0.139."""

_ABOVE = 3
"""Buckets past the end of an open range that can hold near >= 0.5: up to d = 0.4."""


def near(a: Quantity, b: Quantity) -> float:
    """Return how near two quantities are, 0.0 to 1.0; symmetric, 0.0 across dimensions."""
    if not a.dimension or not b.dimension:
        return _near_bare(a, b)
    if a.dimension != b.dimension:
        return 0.0
    kind = DIMENSIONS[a.dimension]
    slack = max(a.step, b.step) if a.unit != b.unit else 0.0
    if a.closed and b.closed:
        return _closed(a, b, kind, slack)
    if b.closed:
        a, b = b, a
    if a.closed:
        return _open(a, b, kind, slack)
    return _both_open(a, b, kind, slack)


def keys_of_note(quantity: Quantity) -> tuple[str, ...]:
    """Return the keys under which an index files a note's quantity (at most three)."""
    if not quantity.dimension:
        return (_bare_key(quantity),)
    way, bucket = _bucket(quantity)
    keys = [f"{quantity.dimension}{way}{bucket}"]
    if way == "=" and (top := _top(quantity)) != bucket:
        keys.append(f"{quantity.dimension}^{top}")
    if quantity.dimension == _BARE_OF:
        keys.append(_bare_key(quantity))
    return tuple(keys)


def keys_of_query(quantity: Quantity) -> tuple[str, ...]:
    """Return the keys to look up for a query's quantity.

    Any note's quantity with near >= 0.5 has one of them in its `keys_of_note`; so has many a note's
    quantity that is less near, so the candidates must still be compared.
    """
    if not quantity.dimension:
        return (_bare_key(quantity),)
    way, bucket = _bucket(quantity)
    spans = {way: range(bucket - 1, bucket + 2)}
    if way == "=":
        top = _top(quantity)
        spans[">"] = range(bucket - _ABOVE, bucket + 2)
        spans["<"] = range(top - 1, top + _ABOVE + 1)
    elif way == ">":
        spans["="] = range(bucket - 1, bucket + _ABOVE + 1)
    else:
        spans["="] = spans["^"] = range(bucket - _ABOVE, bucket + 2)
    keys = tuple(f"{quantity.dimension}{sign}{at}" for sign, span in spans.items() for at in span)
    return (*keys, _bare_key(quantity)) if quantity.dimension == _BARE_OF else keys


def _points(a: float, b: float, kind: Dimension, slack: float) -> float:
    if a == b:
        return 1.0
    size = max(abs(a), abs(b), kind.floor)
    gap = abs(a - b) - min(slack, SLACK * size if not kind.width else SLACK * kind.width)
    return max(0.0, 1.0 - max(0.0, gap) / (kind.width or WIDTH * size))


def _place(value: float, kind: Dimension) -> float:
    """Return where `value` stands on a scale on which equally near values lie equally far apart."""
    if kind.width:
        return value * WIDTH / kind.width
    size = abs(value) / kind.floor
    return math.copysign(size if size <= 1.0 else 1.0 + math.log(size), value)


def _closed(a: Quantity, b: Quantity, kind: Dimension, slack: float) -> float:
    ends = min(_points(a.low, b.low, kind, slack), _points(a.high, b.high, kind, slack))
    if (a.low - b.low) * (a.high - b.high) > 0.0:
        return ends
    low = abs(_place(a.low, kind) - _place(b.low, kind))
    high = abs(_place(a.high, kind) - _place(b.high, kind))
    return max(ends, HELD / (1.0 + max(low, high)))


def _open(closed: Quantity, ray: Quantity, kind: Dimension, slack: float) -> float:
    up = ray.high == math.inf
    bound, end = (ray.low, closed.low) if up else (ray.high, closed.high)
    if end >= bound if up else end <= bound:
        return OPEN / (1.0 + abs(_place(end, kind) - _place(bound, kind)))
    return OPEN * _points(end, bound, kind, slack)


def _both_open(a: Quantity, b: Quantity, kind: Dimension, slack: float) -> float:
    if a.low == b.low == -math.inf:
        one, other = a.high, b.high
    elif a.high == b.high == math.inf:
        one, other = a.low, b.low
    else:
        return 0.0
    apart = abs(_place(one, kind) - _place(other, kind))
    return max(_points(one, other, kind, slack), HELD / (1.0 + apart))


def _near_bare(a: Quantity, b: Quantity) -> float:
    if a.said is None or a.said != b.said or not (a.closed and b.closed):
        return 0.0
    if a.dimension == b.dimension:
        return 1.0
    return BARE if _BARE_OF in (a.dimension, b.dimension) else 0.0


def _bare_key(quantity: Quantity) -> str:
    low = quantity.low if quantity.said is None else quantity.said[0]
    return f"as written {low:g}"


def _top(quantity: Quantity) -> int:
    return _bucket_of(quantity.high, DIMENSIONS[quantity.dimension])


def _bucket_of(value: float, kind: Dimension) -> int:
    return math.floor(_place(value, kind) / _BUCKET)


def _bucket(quantity: Quantity) -> tuple[str, int]:
    """Return "=", ">" or "<" and the bucket of the known (or lower) end."""
    if quantity.low == -math.inf:
        return "<", _top(quantity)
    way = "=" if quantity.closed else ">"
    return way, _bucket_of(quantity.low, DIMENSIONS[quantity.dimension])
