"""What must hold of any sentence."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchlore.language import read_conditions
from benchlore.language.conditions import read_prose
from benchlore.language.vocabulary import Vocabulary
from language.sentences import load, read

SENTENCES = [
    sentence
    for name in ("trade_sentences.txt", "workshop_sentences.txt")
    for sentence, _ in load(name)
]
MORE = [
    sentence
    for name in (
        *(f"fresh_sentences{number}.txt" for number in ("", "_2", "_3", "_4", "_5")),
        "held_sentences.txt",
        *(f"blind_sentences{number}.txt" for number in ("", "_2", "_3")),
    )
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
    "on the flat",
    "on a light throttle",
    "when towing",
    "round town",
    "over cobbles",
    "in reverse",
    "with the lights on",
    "in frosty weather",
    "on a hot day",
    "after a long run",
    "turning right",
    "in top gear",
    "between 50 and 60 mph",
    "at 60 km/h",
    "when cruising",
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
    "MOT runs out in May.",
    "Owner will call back.",
    "Nothing on the invoice yet.",
    "It has never been in before.",
    "Not insured for test drives.",
    "Good car otherwise.",
    "Oil changed in spring.",
)
DENIED = ("It does not {} {}.", "It doesn't {} {}.", "it didnt {} {}", "It never did {} {}.")


@pytest.mark.parametrize("sentence", SENTENCES + MORE)
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
        ("50 to 60 mph", ("50-60 mph", "50-60mph", "50 - 60 mph", "50 to 60 miles an hour")),
        ("2000 to 2500 rpm", ("2-2.5k", "2 to 2.5k rpm", "2,000-2,500 rpm", "2000-2500 revs")),
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
    assert said
    assert set(said.values()) == {"present"}
    for form in DENIED:
        denied = {(r.axis, r.value): r.polarity for r in read_conditions(form.format(what, when))}
        assert said.keys() == denied.keys(), form
        assert set(denied.values()) == {"absent"}, form


@pytest.mark.parametrize("sentence", SENTENCES + MORE)
def test_an_unrelated_sentence_flips_nothing(sentence: str) -> None:
    expected = read(sentence)
    for other in UNRELATED:
        end = "" if sentence.endswith((".", "?", "!")) else "."
        assert read(f"{other} {sentence}{end}") == expected
        assert read(f"{sentence}{end} {other}") == expected
        assert read(f"{sentence}{end}\n\n{other}\n") == expected


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


def test_a_number_too_long_to_count_is_read_without_a_fault() -> None:
    assert read_conditions("hums at " + "1" * 400 + " when hot")


def test_a_long_text_takes_less_than_a_second() -> None:
    for text in (" ".join(SENTENCES)[:10_000], "hot cold " * 1100, "1-2" * 3300, "a" * 10_000):
        read_conditions(text[:200])
        start = time.process_time()
        read_conditions(text)
        assert time.process_time() - start < 1.0


NOTES = sorted((Path(__file__).parents[2] / "kb").rglob("*.md"))


def test_every_note_is_read_without_a_fault() -> None:
    assert NOTES
    for path in NOTES:
        text = path.read_text("utf-8", errors="replace")
        for reading in (*read_conditions(text), *read_prose(text)):
            assert text[reading.start : reading.end] == reading.text


def test_prose_is_read_under_complaint_and_not_under_next_time() -> None:
    body = (
        "# Hums above 50 mph\n\n## Complaint\nSqueals in the rain.\n\n"
        "## Next time\nListen at idle first, it knocks when cold.\n"
    )
    assert {(r.axis, r.value) for r in read_prose(body)} == {
        ("speed", ">50 mph"),
        ("weather", "wet-day"),
    }


@pytest.mark.parametrize(
    "sentence",
    [
        "We ran it cold and it knocked.",
        "A worn coupling knocks when hot.",
        "It would have squealed in the rain.",
        "Gap of 3 mm at idle, rattles.",
        "Knock cured at idle by the new mount.",
    ],
)
def test_prose_of_work_and_explanation_gives_nothing(sentence: str) -> None:
    assert read_prose(sentence) == ()
    assert [r.axis for r in read_prose("Knocks when hot.")] == ["temp"]


def test_an_empty_vocabulary_still_reads_numbers_with_units() -> None:
    found = read_conditions("Hums above 60 mph, none at 2000 rpm", Vocabulary())
    assert {(r.axis, r.value, r.polarity) for r in found} == {
        ("speed", "60 mph", "present"),
        ("rpm", "2000", "present"),
    }
