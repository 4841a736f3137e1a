"""How near two measured values are, and the keys by which an index finds near ones."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from benchlore.language.quantities import (
    Quantity,
    keys_of_note,
    keys_of_query,
    near,
    read_quantities,
)
from benchlore.language.quantities.model import DIMENSIONS


def one(text: str) -> Quantity:
    (found,) = read_quantities(text)
    return found


@pytest.mark.parametrize(
    ("left", "right", "least", "most"),
    [
        # What the formula was set by; common practice, no source.
        ("5.5 thou", "0.14 mm", 1.0, 1.0),
        ("3 thou", "0.08 mm", 1.0, 1.0),
        ("38 psi", "2.6 bar", 1.0, 1.0),
        ("14.5 psi", "1 bar", 1.0, 1.0),
        ("88 C", "190 F", 1.0, 1.0),
        ("30 mpg", "9.4 l/100 km", 1.0, 1.0),
        ("38 psi", "35 psi", 0.45, 0.55),
        ("38 psi", "20 psi", 0.0, 0.0),
        ("1 bar", "1.4 bar", 0.0, 0.0),
        ("88 C", "98 C", 0.45, 0.55),
        ("-5 C", "5 C", 0.45, 0.55),
        ("0 mm", "0.02 mm", 0.0, 0.0),
        ("-3 %", "3 %", 0.0, 0.0),
        ("12.6 V", "12.4..12.8 V", 0.8, 0.99),
        ("40 psi", "38-42 psi", 0.5, 0.99),
        ("13 bar", "10..17 bar", 0.2, 0.49),
        ("3.4 bar", "over 3 bar", 0.5, 0.7),
        ("2.8 bar", "over 3 bar", 0.2, 0.5),
        ("1 bar", "over 3 bar", 0.0, 0.0),
        ("over 3 bar", "over 45 psi", 0.9, 1.0),
        ("over 3 bar", "under 3 bar", 0.0, 0.0),
        ("0.03 mm", "<= 0.05 mm", 0.3, 0.7),
        ("0.14 play", "0.14 mm", 0.5, 0.5),
        ("0.14 play", "runout 0.14", 1.0, 1.0),
        ("0.14 play", "5.5 thou", 0.0, 0.0),
        ("0.14 play", "0.14 bar", 0.0, 0.0),
        ("20 C", "a difference of 20 C", 0.0, 0.0),
        ("1 mile", "1609 m", 0.0, 0.0),
    ],
)
def test_near(left: str, right: str, least: float, most: float) -> None:
    assert least <= near(one(left), one(right)) <= most
    if least >= 0.5:
        assert set(keys_of_note(one(left))) & set(keys_of_query(one(right)))
        assert set(keys_of_note(one(right))) & set(keys_of_query(one(left)))


VALUES = st.one_of(
    st.floats(-1e6, 1e6), st.floats(-50, 50), st.floats(-0.5, 0.5), st.sampled_from([0.0, 1.0])
)


@st.composite
def quantities(draw: st.DrawFn, dimension: str = "", *, closed: bool = False) -> Quantity:
    kind = dimension or draw(st.sampled_from(sorted(DIMENSIONS)))
    low = draw(VALUES)
    high = low + draw(st.one_of(st.just(0.0), st.floats(0.0, 0.3).map(lambda x: abs(low) * x)))
    if not closed:
        low, high = draw(st.sampled_from([(low, high), (low, math.inf), (-math.inf, high)]))
    unit = draw(st.sampled_from(["one", "other"]))
    step = draw(st.sampled_from([0.0, 0.005, 0.5, 5.0]))
    return Quantity(kind, low, high, unit, "", 0, 0, step, (low, high))


@st.composite
def pairs(draw: st.DrawFn) -> tuple[Quantity, Quantity]:
    """Two quantities of one dimension that are often close to each other."""
    a = draw(quantities())
    b = draw(quantities(a.dimension))
    if draw(st.booleans()):
        factor = draw(st.floats(0.65, 1.5))
        shift = draw(st.sampled_from([0.0, DIMENSIONS[a.dimension].floor / 20]))
        ends = sorted((a.low * factor + shift, a.high * draw(st.floats(0.65, 1.5)) + shift))
        b = replace(b, low=ends[0], high=ends[1], said=(ends[0], ends[1]))
    if draw(st.booleans()) and b.closed:
        ends = draw(st.sampled_from([(b.low, math.inf), (-math.inf, b.high)]))
        b = replace(b, low=ends[0], high=ends[1])
    return a, b


@given(pairs())
def test_near_is_symmetric_and_between_none_and_one(pair: tuple[Quantity, Quantity]) -> None:
    a, b = pair
    assert 0.0 <= near(a, b) <= 1.0
    assert near(a, b) == near(b, a)


@given(quantities())
def test_a_quantity_is_wholly_near_itself_in_any_unit(a: Quantity) -> None:
    assert near(a, a) == 1.0
    assert near(a, replace(a, unit="another", text="x", start=5, end=6)) == 1.0


@given(quantities(), quantities())
def test_across_dimensions_nothing_is_near(a: Quantity, b: Quantity) -> None:
    assert near(a, b) == 0.0 or a.dimension == b.dimension


@given(quantities(closed=True), VALUES, VALUES, st.booleans())
def test_what_lies_farther_away_is_no_nearer(a: Quantity, x: float, y: float, up: bool) -> None:
    """Single values b and c on the same side of a, c beyond b."""
    far, close = sorted((abs(x), abs(y)), reverse=True)
    start = a.high if up else a.low
    ends = [start + way if up else start - way for way in (close, far)]
    b, c = (replace(a, low=end, high=end, unit="other", said=(end, end)) for end in ends)
    assert near(a, c) <= near(a, b) + 1e-12


@given(quantities(), VALUES, VALUES)
def test_an_open_range_is_nearest_at_its_end(a: Quantity, x: float, y: float) -> None:
    if a.closed:
        a = replace(a, high=math.inf)
    bound, way = (a.low, 1.0) if a.high == math.inf else (a.high, -1.0)
    close, far = sorted((abs(x), abs(y)))
    for sign in (way, -way):
        b, c = (
            replace(a, low=end, high=end, step=0.0)
            for end in (bound + sign * close, bound + sign * far)
        )
        assert near(a, c) <= near(a, b) + 1e-12 < 1.0


@given(pairs())
@example((one("4.4 bar"), one("over 3 bar")))
@example((one("2.05 mm"), one("under 3 mm")))
@example((one("1..10 bar"), one("<= 10 bar")))
def test_what_is_near_shares_a_key(pair: tuple[Quantity, Quantity]) -> None:
    for note, query in (pair, pair[::-1]):
        shared = set(keys_of_note(note)) & set(keys_of_query(query))
        assert shared or near(note, query) < 0.5


@given(quantities())
def test_keys_are_few_and_tell_dimensions_apart(a: Quantity) -> None:
    assert len(keys_of_note(a)) <= 3
    assert len(keys_of_query(a)) <= 16
    other = replace(a, dimension="volume" if a.dimension != "volume" else "mass")
    assert not set(keys_of_note(a)) & set(keys_of_query(other)) - {f"as written {a.low:g}"}


def test_keys_part_what_is_far_apart() -> None:
    texts = [f"{value} psi" for value in (5, 10, 20, 40, 80, 160, 320, 640)]
    for note in texts:
        for query in texts:
            shared = set(keys_of_note(one(note))) & set(keys_of_query(one(query)))
            assert bool(shared) == (note == query)
