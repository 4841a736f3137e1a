"""What written texts mean."""

from __future__ import annotations

import datetime
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore.notes import read_date, read_minutes, read_number, read_yes_no


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("2025-05-14", (2025, 5, 14)),
        (" 2025-5-4 ", (2025, 5, 4)),
        ("14.05.2025", (2025, 5, 14)),
        ("4/5/2025", (2025, 5, 4)),
        ("2024-02-29", (2024, 2, 29)),
    ],
)
def test_dates(text: str, day: tuple[int, int, int]) -> None:
    assert read_date(text) == datetime.date(*day)


@pytest.mark.parametrize(
    "text",
    ["", "2025-02-30", "2025-01-47", "0000-01-01", "14.05/2025", "14.5.25", "٢٠٢٥-05-14", "x"],
)
def test_no_dates(text: str) -> None:
    assert read_date(text) is None


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("85", 85),
        ("1,250.50", 1250.5),
        ("2.2", 2.2),
        ("-3", -3),
        ("+4", 4),
        (" 7 ", 7),
        ("0147", 147),
    ],
)
def test_numbers(text: str, number: float) -> None:
    assert read_number(text) == number


@pytest.mark.parametrize(
    "text", ["", "nan", "inf", "1e5", "1e999", "9" * 5000, "9" * 15, "٣", "²", "1,25", "0x1F",
    "1_000", "5 mm", "."]
)  # fmt: skip
def test_no_numbers(text: str) -> None:
    assert read_number(text) is None


@pytest.mark.parametrize(
    ("text", "answer"),
    [("yes", True), ("TRUE", True), (" y ", True), ("no", False), ("false", False), ("not ok",
    False),
     ("", None), ("maybe", None)],
)  # fmt: skip
def test_yes_and_no(text: str, answer: bool | None) -> None:
    assert read_yes_no(text) is answer


@pytest.mark.parametrize(
    ("text", "minutes"),
    [("25", 25), ("25 min", 25), ("25min.", 25), ("1.5 h", 90), ("2 hours", 120), ("1:30", 90),
     ("", None), ("-5", None), ("a while", None), ("1:75", None)],
)  # fmt: skip
def test_minutes(text: str, minutes: float | None) -> None:
    assert read_minutes(text) == minutes


@given(st.one_of(st.text(max_size=20), st.text("0123456789.,-/:+ ehmin", max_size=20)))
def test_nothing_raises_and_numbers_are_finite(text: str) -> None:
    read_date(text)
    read_yes_no(text)
    for number in (read_number(text), read_minutes(text)):
        assert number is None or math.isfinite(number)
