"""Personal data is taken out of what a job brief quotes; measurements and codes stay."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore.language.personal import TAKEN_OUT, find_personal, without_personal_data


@pytest.mark.parametrize(
    ("text", "gone"),
    [
        # 1G4AH59H45G118341 is the sample of 49 CFR 565 with its check digit.
        ("VIN 1G4AH59H45G118341 on the plate", "1G4AH59H45G118341"),
        ("ring 01632 960 123 after five", "01632 960 123"),
        ("mobile +44 7700 900123", "7700"),
        ("write to a.b@example.org", "example"),
        ("reg AB12 CDE", "AB12"),
        ("Mrs Harriet Ploughman wants it back", "Ploughman"),
        ("customer Albert Fenwick says it hums", "Fenwick"),
    ],
)
def test_what_names_or_reaches_a_person_is_taken_out(text: str, gone: str) -> None:
    assert gone not in without_personal_data(text)
    assert TAKEN_OUT in without_personal_data(text)


@pytest.mark.parametrize(
    "text",
    [
        "0.14 mm against 0.05 mm", "P0301 and U0100", "Customer says it hums", "185/65 R15",
        "2025-0147", "1.25 bar at 2000 rpm", "HD22 at 142300 km", "part 90915-10003",
    ],
)  # fmt: skip
def test_measurements_and_codes_stay(text: str) -> None:
    assert without_personal_data(text) == text


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("1M8GDM9AXKP042788 and 1M8GDM9A1KP042788", ["VIN", "VIN-like"]),
        ("ring him on 01632 960 123", ["phone"]),
        ("part 0258 006 537", ["phone-like"]),
        ("+44 7700 900123", ["phone"]),
        ("a.b@example.org, AB12 CDE, Mr Ploughman", ["e-mail", "plate", "name"]),
        ("hums from 50", []),
    ],
)
def test_each_find_has_its_kind_and_place(text: str, kinds: list[str]) -> None:
    found = find_personal(text)
    assert [personal.kind for personal in found] == kinds
    assert all(text[p.start : p.end].strip() == text[p.start : p.end] != "" for p in found)


@given(st.text("Mr Abc@.+0123456789-XKP ", max_size=80))
def test_finds_are_in_order_and_apart(text: str) -> None:
    found = find_personal(text)
    ends = [0, *(personal.end for personal in found)]
    assert all(end <= personal.start for end, personal in zip(ends, found, strict=False))


def test_c19_many_finds_take_no_longer_each() -> None:
    """One after the other, not each beside every other: 80,000 names once took a minute."""
    assert len(find_personal("Mr Ab, " * 40_000)) == 40_000
