"""Measured values read out of texts: spellings, worked numbers, factors, traps."""

from __future__ import annotations

import math
import re
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore.evidence.units import NAMES, registry
from benchlore.language.quantities import Quantity, near, read_quantities
from benchlore.language.quantities import units as units
from benchlore.language.quantities.model import DIMENSIONS
from benchlore.notes.reader import read_note

HERE = Path(__file__).parent
SHOP = HERE.parents[1]

Ends = tuple[str, float, float]


def lines_of(name: str) -> list[str]:
    lines = (HERE / "data" / name).read_text("utf-8").splitlines()
    return [line for line in lines if line and not line.startswith("#")]


def worked(written: str) -> float:
    negative = -1.0 if written.startswith("-") else 1.0
    top, _, under = written.lstrip("-").partition("/")
    return negative * math.prod(map(float, top.split("*"))) / float(under or 1)


def wanted(right: str) -> list[Ends]:
    found = []
    for part in right.split(";"):
        head, _, high = part.partition("..")
        dimension, _, low = head.strip().rpartition(" ")
        found.append((dimension.replace("bare", ""), worked(low), worked((high or low).strip())))
    return found


def read(text: str) -> list[Ends]:
    return [(found.dimension, found.low, found.high) for found in read_quantities(text)]


def one(text: str) -> Quantity:
    (found,) = read_quantities(text)
    return found


def agree(found: list[Ends], expected: list[Ends], tolerance: float) -> bool:
    return len(found) == len(expected) and all(
        ours[0] == theirs[0] and math.isclose(x, y, rel_tol=tolerance)
        for ours, theirs in zip(found, expected, strict=True)
        for x, y in zip(ours[1:], theirs[1:], strict=True)
    )


SPELLINGS = [line.split(" -> ") for line in lines_of("quantity_spellings.txt")]


def test_there_are_spellings_enough() -> None:
    assert len(SPELLINGS) >= 80
    assert {dimension for _, right in SPELLINGS for dimension, *_ in wanted(right)} > {"", "torque"}


@pytest.mark.parametrize(("text", "right"), SPELLINGS)
def test_a_shop_spelling_is_read(text: str, right: str) -> None:
    """Spellings: common practice, no source; see the head of the data file."""
    assert agree(read(text), wanted(right), 1e-5), read(text)


@pytest.mark.parametrize(
    "frame", ["Measured {}.", "it has ({}), rattles", "front: {}; then off again"]
)
@pytest.mark.parametrize(("text", "right"), SPELLINGS)
def test_a_sentence_around_it_changes_nothing(text: str, right: str, frame: str) -> None:
    found = read_quantities(frame.format(text))
    assert agree([(q.dimension, q.low, q.high) for q in found], wanted(right), 1e-5), found


@pytest.mark.parametrize("text", lines_of("not_quantities.txt"))
def test_what_is_no_measured_value_is_left_alone(text: str) -> None:
    assert read(text) == []


@pytest.mark.parametrize(
    ("text", "right"),
    [
        (
            "205/55 R16 at 38 psi, knocks below 30 mph",
            "pressure 38*6.894757; speed -inf .. 48.28032",
        ),
        ("P0299 stored, 0.68 bar at 3000 rpm", "pressure 68; rotation 3000"),
        ("M8x1.25 bolt, torqued to 25 Nm on 12/03/2021", "torque 25"),
        ("case 2020-0913: 12.4 V at 10:30, £38", "voltage 12.4"),
        ("195/65 R15 91V worn to 1.6 mm by 2016", "length 1.6"),
        ("tyres at 30 lb in the fronts", "pressure 206.84271"),
        ("0.05 mm over 100 mm", "length 0.05; length 100"),
        ("blown up to 1.2 bar", "pressure 120"),
        ("no more than about 30 °F across", "temperature difference -inf .. 16.66667"),
        ("the drop at 2500 to 2.3 kPa", "pressure 2.3"),
        ("voltage -> 12 V", "voltage 12"),
        ("timing 10 degrees, hot", "angle 10"),
        ("weighs 90 pounds with the tyre on", "mass 40823.316"),
    ],
)
def test_beside_a_trap_the_value_is_read(text: str, right: str) -> None:
    """Common practice, no source; the tyre size's form is that of ISO 4000-1."""
    assert agree(read(text), wanted(right), 1e-5), read(text)


@pytest.mark.parametrize(
    ("row", "text", "value"),
    [
        ("W01", "30 psi", 206.843),
        ("W01", "1 kgf/cm2", 98.0665),
        ("W02", "20 inHg", 67.7278),
        ("W02", "450 mmHg", 59.9951),
        ("W02", "5 inH2O", 1.24544),
        ("W03", "30 thou", 0.762),
        ("W03", "4/32 in", 3.175),
        ("W04", "50 mph", 80.4672),
        ("W04", "88421.1 miles", 142300.0),
        ("W05", "65 lbf ft", 88.1282),
        ("W05", "120 lbf in", 13.5582),
        ("W05", "81.1318 lbf ft", 110.0),
        ("W05", "11 kgf m", 107.873),
        ("W06", "150 hp", 111855.0),
        ("W06", "150 PS", 110325.0),
        ("W07", "210 F", 98.889),
        ("W07", "190.4 F", 88.0),
        ("W07", "10 F difference", 5.5556),
        ("W08", "30 mpg US", 7.84049),
        ("W08", "40 mpg UK", 7.06202),
        ("W09", "5.5 US qt", 5.20494),
        ("W09", "1 UK pint", 0.568261),
        ("W09", "350 in3", 5.73547),
        ("W09", "2200 lb", 997903.0),
        ("W31", "2.5 mohm", 0.0025),
        ("W38", "10 minutes of arc", 1 / 6),
    ],
)
def test_worked_number(row: str, text: str, value: float) -> None:
    """Worked computations W01 to W38 of the trade reference, tolerance 1 in 10 000 as it says:
    exact definitions of inch, pound, g and gallon; inHg as printed in NIST SP 811 (2008)."""
    assert one(text).low == one(text).high == pytest.approx(value, rel=1e-4)


BASES = {
    "N m": "N*m", "l/100 km": "l_per_100_km", "mm2": "mm**2", "Ah": "A*hour", "g/cm3": "g/cm**3",
    "%": "percent", "C": "degC", "km/h": "km/hour", "deg": "degree", "K": "delta_degC",
}  # fmt: skip
KNOWN = sorted({*units.SPELLINGS.values(), *units.EXACT.values(), *units.DIFFERENCE.values()})
REGISTRY = registry()


@pytest.mark.parametrize("unit", [u for u in KNOWN if u.head != "dB"], ids=str)
def test_a_factor_is_that_of_pint(unit: units.Unit) -> None:
    """NIST SP 811 (2008) Appendix B.8 has seven digits; pint's definitions are its own.

    Decibels have no factor at all.
    """
    name = NAMES[unit.head]
    if unit.dimension == "temperature difference":
        name = f"delta_{name}"
    base = DIMENSIONS[unit.dimension].base
    scale = 1000.0 if unit.head in ("rpm", "km", "miles") and unit.factor >= 1000 else 1.0
    for number in (1.0, 37.5):
        theirs = REGISTRY.Quantity(number * scale, name)
        expected = (1 / theirs if unit.inverse else theirs).to(BASES.get(base, base)).magnitude
        assert unit.base(number) == pytest.approx(expected, rel=2e-6)


def test_every_value_and_limit_of_the_demo_notes_is_read_whole() -> None:
    """Each is one quantity with nothing left over; none had to be left alone."""
    seen, bad = 0, []
    for path in sorted((SHOP / "kb").rglob("*.*")):
        if path.suffix not in (".md", ".txt"):  # a photo or a log beside a note
            continue
        for check in read_note(path.name, path.read_bytes()).checks:
            for text in filter(None, (check.value, check.limit)):
                seen += 1
                found = read_quantities(text)
                if [q.text for q in found] != [text.strip()] or not found[0].dimension:
                    bad.append((path.name, text))
    assert seen > 500
    assert bad == []


TEXTS = st.one_of(
    st.text(max_size=200),
    st.lists(
        st.sampled_from(
            [*" .,-/\n", "..", " to ", "between ", " and ", "over ", "±", "12", "3.5", "1/4", '"',
             "0,5", "psi", "V", "A", " in ", "thou", "°C", "lb", "ft", "mm", "%", "half a ", "M8x",
             "P0301", "or more", "max", "İ", "½", "k", "Ω", "rpm", "deg", "play"]
        ),
        max_size=25,
    ).map("".join),
)  # fmt: skip


@given(TEXTS)
def test_any_text_can_be_read(text: str) -> None:
    found = read_quantities(text)
    place = 0
    for quantity in found:
        assert place <= quantity.start < quantity.end <= len(text)
        assert quantity.text == text[quantity.start : quantity.end]
        assert quantity.low <= quantity.high
        assert quantity.step >= 0.0
        assert near(quantity, quantity) == 1.0
        place = quantity.end


@given(st.integers(0, 999_999), st.integers(0, 3))
def test_a_number_without_a_unit_is_no_quantity(value: int, places: int) -> None:
    assert read(f"noise with {value / 10**places:.{places}f} on it") == []


@given(st.sampled_from(SPELLINGS), st.sampled_from(SPELLINGS))
def test_two_values_are_read_as_each_alone(left: list[str], right: list[str]) -> None:
    if re.search("tyre|cap|boost|coolant|SG", left[0] + right[0]):
        return  # words that say what the other number is
    assert read(f"{left[0]}. Then {right[0]}") == read(left[0]) + read(right[0])


def test_comparing_loads_neither_units_nor_patterns_and_reading_no_pint() -> None:
    program = (
        "import sys, benchlore.language.quantities as q\n"
        "early = 'benchlore.language.quantities.units' in sys.modules\n"
        "q.read_quantities('38 psi')\n"
        "print(early, 'benchlore.language.quantities.units' in sys.modules, 'pint' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True)
    assert done.stdout.decode().split() == ["False", "True", "False"]
