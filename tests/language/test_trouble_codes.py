"""Codes that are nearly trouble codes, and those that are a maker's own."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore.language.trouble_codes import code_trouble


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("P03O1", "P0301"),
        ("p0301", "P0301"),
        ("PO3OI", "P0301"),
        ("\N{CYRILLIC CAPITAL LETTER ER}0301", "P0301"),
        ("P\N{FULLWIDTH DIGIT ZERO}301", "P0301"),
        ("\N{CYRILLIC CAPITAL LETTER ES}1234", "C1234"),
        ("U0100\N{EN DASH}87", "U0100-87"),
        ("P03O1 pending", "P0301"),
    ],
)
def test_d04_what_was_certainly_meant_is_known(written: str, meant: str) -> None:
    trouble = code_trouble(written)
    assert trouble is not None
    assert trouble.meant == meant
    assert written[trouble.start : trouble.end] == written.split()[0]


@pytest.mark.parametrize("written", ["P030", "X0301", "P4301", "P03012", "C9999", "U01000"])
def test_what_is_no_code_of_the_standard_is_named_and_not_guessed(written: str) -> None:
    trouble = code_trouble(written)
    assert trouble is not None
    assert trouble.meant == ""
    assert trouble.todo


@pytest.mark.parametrize(
    "written",
    [
        "P0301", "U0100-87", "B1000", "C1A2F", "P0301 pending", "P0301 (stored)",
        # a maker's own, J1939 and words
        "SPN 190 FMI 2", "16684", "2AAF", "E12", "F-07", "HD22", "DTC 42", "blink 4-2", "cold",
        "none", "", "K4D", "Halden 4301", "BD16", "E360-2", "A1234567",
    ],
)  # fmt: skip
def test_sound_codes_and_a_makers_own_are_left_alone(written: str) -> None:
    assert code_trouble(written) is None


@given(st.text(max_size=40))
def test_any_text_is_accepted_and_what_is_meant_is_sound(written: str) -> None:
    trouble = code_trouble(written)
    if trouble is not None and trouble.meant:
        assert code_trouble(trouble.meant) is None
