"""Personal data is taken out of what a job brief quotes; measurements and codes stay."""

from __future__ import annotations

import pytest

from benchlore.language.personal import TAKEN_OUT, without_personal_data


@pytest.mark.parametrize(
    ("text", "gone"),
    [
        # 1G4AH59H45G118341 is the sample of 49 CFR 565 (from memory).
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
