"""What must hold of any sentence."""

from __future__ import annotations

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchlore.language import read_conditions
from benchlore.language.vocabulary import Vocabulary
from language.sentences import load, read

SENTENCES = [
    sentence
    for name in ("trade_sentences.txt", "workshop_sentences.txt")
    for sentence, _ in load(name)
]

WHEN = (
    "when cold",
    "when hot",
    "at idle",
    "over 3000 rpm",
    "under load",
    "on the overrun",
    "when braking",
    "uphill",
    "when laden",
    "above 60 mph",
    "on the motorway",
    "over bumps",
    "on full lock",
    "turning left",
    "in neutral",
    "in third gear",
    "with the clutch down",
    "in the rain",
    "with the a/c on",
    "first thing",
    "below 40 km/h",
    "at 2500 rpm",
)
WHAT = ("knock", "rattle", "squeal", "vibrate", "judder", "misfire", "smoke", "do it")
UNRELATED = (
    "The car is blue.",
    "Book it in for Tuesday.",
    "Please ring the customer.",
    "Tyres are legal.",
    "He paid by card.",
    "New battery fitted last year.",
    "Keys in the office.",
)


@pytest.mark.parametrize("sentence", SENTENCES)
def test_case_and_spacing_change_nothing(sentence: str) -> None:
    expected = read(sentence)
    assert read(sentence.lower()) == expected
    assert read(sentence.upper()) == expected
    assert read("  " + sentence.replace(" ", "   ") + " ") == expected


@pytest.mark.parametrize(
    ("one", "spellings"),
    [
        ("60 mph", ("60mph", "60 MPH", "60 miles per hour", "60 m.p.h.")),
        ("80 km/h", ("80km/h", "80 kph", "80 kmh", "80 KM/H")),
        ("2500 rpm", ("2500rpm", "2,500 rpm", "2500 revs", "2.5k rpm", "2.5k")),
        ("3000 rpm", ("3k", "3k rpm", "3 grand", "3,000")),
    ],
)
def test_spellings_of_a_unit_are_one(one: str, spellings: tuple[str, ...]) -> None:
    for form in ("Knocks at {}.", "Knocks above {}.", "No knock below {}.", "Only knocks at {}."):
        expected = read(form.format(one))
        assert expected
        for spelling in spellings:
            assert read(form.format(spelling)) == expected, spelling


@pytest.mark.parametrize("when", WHEN)
@pytest.mark.parametrize("what", WHAT)
def test_negating_a_sentence_flips_its_polarity(what: str, when: str) -> None:
    said = {(r.axis, r.value): r.polarity for r in read_conditions(f"It does {what} {when}.")}
    denied = {(r.axis, r.value): r.polarity for r in read_conditions(f"It does not {what} {when}.")}
    assert said and said.keys() == denied.keys()
    assert set(said.values()) == {"present"}
    assert set(denied.values()) == {"absent"}


@pytest.mark.parametrize("sentence", SENTENCES)
def test_an_unrelated_sentence_flips_nothing(sentence: str) -> None:
    expected = read(sentence)
    for other in UNRELATED:
        end = "" if sentence.endswith((".", "?", "!")) else "."
        assert read(f"{other} {sentence}{end}") == expected
        assert read(f"{sentence}{end} {other}") == expected


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=300))
def test_any_text_is_read_without_a_fault(text: str) -> None:
    for reading in read_conditions(text):
        assert 0 <= reading.start < reading.end <= len(text)
        assert text[reading.start : reading.end] == reading.text
        assert 0 < reading.weight <= 1


_WORDS = sorted({word for sentence in SENTENCES for word in sentence.split()})


@settings(max_examples=150, deadline=None)
@given(st.lists(st.sampled_from(_WORDS), max_size=25))
def test_any_jumble_of_words_is_read_without_a_fault(words: list[str]) -> None:
    read_conditions(" ".join(words))


def test_a_long_text_takes_less_than_a_second() -> None:
    for text in (" ".join(SENTENCES)[:10_000], "hot cold " * 1100, "1-2" * 3300, "a" * 10_000):
        read_conditions(text[:200])
        start = time.process_time()
        read_conditions(text)
        assert time.process_time() - start < 1.0


def test_an_empty_vocabulary_still_reads_numbers_with_units() -> None:
    found = read_conditions("Hums above 60 mph, none at 2000 rpm", Vocabulary())
    assert {(r.axis, r.value, r.polarity) for r in found} == {
        ("speed", "60 mph", "present"),
        ("rpm", "2000", "present"),
    }
