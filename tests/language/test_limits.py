"""Limits as notes write them, and verdicts at and about their edges."""

from __future__ import annotations

from math import inf
from pathlib import Path

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore.language.limits import judge, read_limit

DATA = Path(__file__).parent / "data" / "verdicts.tsv"


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("<= 0.05 mm", -inf, 0.05), (">= 1.0 bar", 100.0, inf), ("12.4..12.8 V", 12.4, 12.8),
        ("12.4 to 12.8 V", 12.4, 12.8), ("12.8..12.4 V", 12.4, 12.8),
        ("0.10 ± 0.02 mm", 0.08, 0.12),
        ("0.10 +/- 0.02 mm", 0.08, 0.12), ("max 50 mA", -inf, 0.05), ("50 mA max", -inf, 0.05),
        ("min 9.6 V", 9.6, inf), ("9.6 V min", 9.6, inf), ("at least 1 bar", 100.0, inf),
        ("not over 3 bar", -inf, 300.0), ("up to 0.2 mm", -inf, 0.2), ("-5..5 %", -5.0, 5.0),
        ("<= 6 min", -inf, 360.0), ("<= 42 ml/min", -inf, 0.042),
        ("min 0.35 mm, max 0.65 mm", 0.35, 0.65), (">= 1 bar and <= 3 bar", 100.0, 300.0),
    ],
)  # fmt: skip
def test_a_limit_is_read(text: str, low: float, high: float) -> None:
    limit = read_limit(text)
    assert limit is not None
    assert (limit.low, limit.high) == pytest.approx((low, high))


@pytest.mark.parametrize(
    "text", ["about 60 ohm", "60 ohm", "0.05", "<= 0.05", "", "tight", "P0301"]
)
def test_what_cannot_judge_is_no_limit(text: str) -> None:
    assert read_limit(text) is None


@pytest.mark.parametrize(
    ("value", "limit", "check", "verdict"),
    [
        ("0.05 mm", "<= 0.05 mm", "", "within"),
        ("0.051 mm", "<= 0.05 mm", "", "beyond"),
        ("2 ohm", "< 2 ohm", "", "beyond"),
        ("12.4 V", "12.4..12.8 V", "", "within"),
        ("12.8 V", "12.4..12.8 V", "", "within"),
        ("12.81 V", "12.8..12.4 V", "", "beyond"),
        ("0.12 mm", "0.10 ± 0.02 mm", "", "within"),
        ("0.13 mm", "0.10 ± 0.02 mm", "", "beyond"),
        ("0.04..0.06 mm", "<= 0.05 mm", "", "beyond"),
        ("3 and 5 bar", "<= 4 bar", "", "beyond"),
        ("174, 172, 176, 118 psi", ">= 160 psi", "", "beyond"),
        ("174, 172, 176, 168 psi", ">= 160 psi", "", "within"),
        ("25 mpg", ">= 30 mpg", "", "beyond"),  # an inverse: more miles, less fuel
        ("35 mpg", ">= 30 mpg", "", "within"),
        # 20 psi = 137.895 kPa (NIST SP 811 (2008), Appendix B: 6.894 757 E+03, from memory)
        ("20 psi", "<= 137.8951 kPa", "", "within"),
        ("2 thou", "<= 0.0508 mm", "", "within"),  # 1 in = 25.4 mm exactly
        ("212 F", "<= 100 C", "", "within"),  # absolute temperatures: 32 taken off
        ("10 F", "<= 5.6 K", "temperature drop across the radiator", "within"),  # 5.556 K
        ("10 F", "<= 5.5 K", "temperature drop across the radiator", "beyond"),
        ("10 C", "<= 10 K", "rise over ambient", "within"),
        ("over 3 bar", "<= 2 bar", "", "beyond"),
        ("over 3 bar", "<= 4 bar", "", "none"),
        ("0.14", "<= 0.05 mm", "", "none"),
        ("0.14 mm", "<= 0.05", "", "none"),
        ("0.14 mm", "<= 2 bar", "", "none"),
        ("rough", "<= 0.05 mm", "", "none"),
    ],
)
def test_a_verdict(value: str, limit: str, check: str, verdict: str) -> None:
    assert judge(value, limit, check) == verdict


def test_verdicts_of_the_demo_shop_are_those_given_by_hand() -> None:
    """291 measured checks of the demo notes, judged one by one by another author who did not know
    this code; common practice, no source."""
    rows = [line.split("\t") for line in DATA.read_text("utf-8").splitlines() if line[:1] != "#"]
    assert len(rows) == 291
    wrong = [row for row in rows if judge(row[2], row[3], row[1]) != row[4]]
    assert not wrong


_PINT = pint.UnitRegistry()
PRESSURES = ("psi", "bar", "kPa", "mbar", "MPa")
LENGTHS = ("mm", "thou", "um", "cm")


@given(
    st.sampled_from([PRESSURES, LENGTHS]), st.floats(0.5, 900.0), st.floats(0.5, 900.0), st.data()
)
def test_a_verdict_across_units_is_that_of_pint(
    units: tuple[str, ...], number: float, bound: float, data: st.DataObject
) -> None:
    """pint converts by its own definitions, which follow NIST SP 811."""
    one, other = data.draw(st.sampled_from(units)), data.draw(st.sampled_from(units))
    value, limit = f"{number:.3f} {one}", f"<= {bound:.3f} {other}"
    inside = _PINT.Quantity(float(f"{number:.3f}"), one).to(other).magnitude
    edge = float(f"{bound:.3f}")
    if abs(inside - edge) > 1e-5 * edge:
        assert judge(value, limit) == ("within" if inside < edge else "beyond")


@given(st.text(max_size=40), st.text(max_size=40), st.text(max_size=20))
def test_no_text_raises(value: str, limit: str, check: str) -> None:
    assert judge(value, limit, check) in ("within", "beyond", "none")
