"""The form of trouble codes against a published list of them."""

from __future__ import annotations

import random
from collections.abc import Mapping

import pytest

import opendata
from benchlore.language.trouble_codes import code_trouble


@pytest.fixture(scope="module")
def codes() -> Mapping[str, str]:
    """Source: SAE J2012 codes as obd 0.7.3 carries them."""
    return opendata.trouble_codes(opendata.needed(opendata.TROUBLE_CODES))


def test_every_published_code_passes(codes: Mapping[str, str]) -> None:
    assert len(codes) > 2000
    assert [code for code in codes if code_trouble(code)] == []
    assert [code for code in codes if code_trouble(f"{code}-1A")] == []


def test_the_letter_o_for_a_nought_is_named_and_its_code_is_known(
    codes: Mapping[str, str],
) -> None:
    for code in codes:
        places = [place for place, letter in enumerate(code) if letter == "0"]
        for place in places:
            broken = code[:place] + "O" + code[place + 1 :]
            trouble = code_trouble(broken)
            if sum(map(str.isdigit, broken)) == 0:
                continue
            assert trouble is not None and trouble.meant == code, broken


def test_a_wrong_first_letter_is_named_and_not_guessed(codes: Mapping[str, str]) -> None:
    for letter in "ADEFGHJKLMNQRSTVWXYZ":
        for code in random.Random(2012).sample(sorted(codes), 100):
            if sum(map(str.isdigit, code)) < 3:
                continue  # "XABC1" need not be meant as one
            trouble = code_trouble(letter + code[1:])
            assert trouble is not None and trouble.meant == ""


def test_one_character_too_many_or_too_few_is_named(codes: Mapping[str, str]) -> None:
    for code in codes:
        for broken in (code + "0", code[:-1]):
            if sum(map(str.isdigit, broken)) < 2:
                continue
            trouble = code_trouble(broken)
            assert trouble is not None and trouble.meant == "", broken


def test_a_first_digit_above_three_is_named(codes: Mapping[str, str]) -> None:
    for code in codes:
        if sum(map(str.isdigit, code)) >= 3:
            trouble = code_trouble(code[0] + "4" + code[2:])
            assert trouble is not None and trouble.meant == ""
