"""The check digit of vehicle identification numbers against the regulation that defines it."""

from __future__ import annotations

import random

import pytest

from benchlore.language.personal import find_personal
from benchlore.language.vin import VALUES, WEIGHTS, check_digit, has_check_digit

TABLE_III = (
    "A=1 B=2 C=3 D=4 E=5 F=6 G=7 H=8 J=1 K=2 L=3 M=4 N=5 P=7 R=9 S=2 T=3 U=4 V=5 W=6 X=7 Y=8 Z=9"
)
"""49 CFR 565, "Assigned Values", as the regulation prints it."""

TABLE_IV = "8 7 6 5 4 3 2 10 - 9 8 7 6 5 4 3 2"
"""49 CFR 565, "VIN Position and Weight Factor"; position nine is the check digit itself."""

SAMPLE = "1G4AH59H-5G118341"
SAMPLE_PRODUCTS = (8, 49, 24, 5, 32, 15, 18, 80, 0, 45, 56, 7, 6, 40, 12, 12, 2)
SAMPLE_SUM, SAMPLE_DIGIT = 411, "4"
"""49 CFR 565, "Calculation of a Check Digit", the worked example of the 2000 edition, which leaves
the check digit out; the products are those that it prints."""


def test_letters_have_the_values_of_the_regulation() -> None:
    letters = {pair[0]: int(pair[2:]) for pair in TABLE_III.split()}
    assert {key: value for key, value in VALUES.items() if key.isalpha()} == letters
    assert {key: value for key, value in VALUES.items() if key.isdigit()} == {
        str(digit): digit for digit in range(10)
    }


def test_positions_have_the_weights_of_the_regulation() -> None:
    assert list(WEIGHTS) == [int(weight) if weight != "-" else 0 for weight in TABLE_IV.split()]


def test_the_worked_example_of_the_regulation() -> None:
    products = [
        VALUES.get(letter, 0) * weight for letter, weight in zip(SAMPLE, WEIGHTS, strict=True)
    ]
    assert tuple(products) == SAMPLE_PRODUCTS
    assert sum(products) == SAMPLE_SUM
    assert check_digit(SAMPLE.replace("-", "0")) == SAMPLE_DIGIT
    assert has_check_digit(SAMPLE.replace("-", SAMPLE_DIGIT))


@pytest.mark.parametrize(
    ("vin", "digit"),
    [
        ("1M8GDM9AXKP042788", "X"),  # the often quoted sample with a remainder of ten, from memory
        ("1J9RP1A36A1644345", "6"),  # worked example in NHTSA's outline for new manufacturers
        ("11111111111111111", "1"),  # the plain test number, from memory
    ],
)
def test_published_samples(vin: str, digit: str) -> None:
    assert check_digit(vin) == digit
    assert has_check_digit(vin)
    assert has_check_digit(vin.lower())


def test_one_wrong_character_is_noticed_where_its_value_differs() -> None:
    """Modulo 11 with weights below 11 finds each single change of value (arithmetic)."""
    vin = "1M8GDM9AXKP042788"
    for place in range(len(vin)):
        for letter, value in VALUES.items():
            if place != 8 and (value - VALUES[vin[place]]) % 11:
                assert not has_check_digit(vin[:place] + letter + vin[place + 1 :])


def test_one_in_eleven_of_random_numbers_passes() -> None:
    """A remainder has eleven values: what a check digit cannot do."""
    rng = random.Random(565)
    letters = sorted(VALUES)
    made = [
        "".join([*rng.choices(letters, k=8), rng.choice("0123456789X"), *rng.choices(letters, k=8)])
        for _ in range(20_000)
    ]
    share = sum(map(has_check_digit, made)) / len(made)
    assert abs(share - 1 / 11) < 0.01


@pytest.mark.parametrize("vin", ["1M8GDM9AXKP04278", "1M8GDM9AXKPO42788", "", "1M8GDM9AXKP0427888"])
def test_what_is_no_vin_has_no_check_digit(vin: str) -> None:
    assert check_digit(vin) == ""
    assert not has_check_digit(vin)


def test_a_vin_in_a_sentence_is_told_from_one_that_fails() -> None:
    kinds = [p.kind for p in find_personal("on the plate 1M8GDM9AXKP042788, not 1M8GDM9A1KP042788")]
    assert kinds == ["VIN", "VIN-like"]
