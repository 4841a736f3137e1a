"""How a draft will be read is said before it is saved."""

from __future__ import annotations

import pytest

from benchlore.language.vocabulary import shipped
from benchlore.notes.reader import read_note
from benchlore.writeup.understood import understood
from shops import REPOSITORY
from writeup.drafts import draft

WORDS = shipped()


def test_conditions_are_told_in_words_and_what_is_not_understood_is_named() -> None:
    read = understood(
        draft("""
            symptom: Hums at 80 km/h
            present: [above 50 km/h, turning left, on a Tuesday]
            absent: [coasting]
        """),
        WORDS,
    )
    assert [(c.field, c.words) for c in read.conditions] == [
        ("symptom", "at 80 km/h"),
        ("present", "above 50 km/h"),
        ("present", "turning left"),
        ("present", ""),
        ("absent", "not on the overrun"),
    ]
    assert [c.text for c in read.not_understood] == ["on a Tuesday"]
    assert not read.contradictions


def test_present_and_absent_at_once_is_a_contradiction() -> None:
    read = understood(
        draft("present: [hot, turning left]\nabsent: [when hot, idle hot or cold]"), WORDS
    )
    (found,) = read.contradictions
    assert (found.one.text, found.other.text) == ("hot", "when hot")
    assert found.words == '"hot" against "when hot": hot; not hot'


def test_a_symptom_that_says_the_contrary_is_one_too() -> None:
    read = understood(draft("symptom: rattles when cold\nabsent: [cold]"), WORDS)
    assert [(c.one.field, c.other.field) for c in read.contradictions] == [("symptom", "absent")]


@pytest.mark.parametrize(
    ("value", "limit", "words"),
    [
        ("0.14 mm", "<= 0.05 mm", "0.14 mm, beyond at most 0.05 mm"),
        ("0.14 mm", "< 6 thou", "0.14 mm, within below 6 thou"),
        ("12.6 V", "12.4..12.8 V", "12.6 V, within 12.4 to 12.8 V"),
        ("1.2 bar", ">= 15 psi", "1.2 bar, within at least 15 psi"),
        ("0.14", "<= 0.05 mm", "the value has no unit that is known"),
        ("0.14 mm", "", "0.14 mm: no limit"),
        ("0.14 mm", "0.05", "0.14 mm: the limit has no unit that is known"),
        ("0.14 mm", "none given", "0.14 mm: no number in the limit"),
        ("0.14 mm", "<= 2 bar", "0.14 mm: units of two kinds: mm and bar"),
        (
            "0.14 mm",
            "about 0.1 mm",
            '0.14 mm: the limit does not say which side is right: "<=", ">=" or "low..high"',
        ),
        ("rough", "", ""),
    ],
)
def test_a_check_has_a_verdict_or_a_reason_for_none(value: str, limit: str, words: str) -> None:
    note = draft(f'checks: [{{check: play at the hub, value: "{value}", limit: "{limit}"}}]')
    (check,) = understood(note, WORDS).checks
    assert check.words == words


def test_a_cause_is_named_as_it_will_be_grouped() -> None:
    read = understood(
        draft("""
            causes:
              - {part: RH rear wheel brg, fault: pitted}
              - {part: glow plug no. 3, fault: open circuit}
              - {part: unknown, fault: not found}
        """),
        WORDS,
    )
    assert [(c.part, c.place, c.known) for c in read.causes] == [
        ("wheel bearing", "rear, right", True),
        ("glow plug", "number 3", True),
        ("", "", False),
    ]


def test_few_notes_of_the_demo_shop_are_said_to_contradict_themselves() -> None:
    paths = sorted((REPOSITORY / "kb").rglob("*.md"))
    notes = [read_note(str(path), path.read_bytes()) for path in paths]
    contrary = [note.case for note in notes if understood(note, WORDS).contradictions]
    assert len(contrary) <= len(notes) // 25, contrary


def test_an_item_that_says_more_denies_no_part_of_itself() -> None:
    for front in (
        "present: [braking from 60]\nabsent: [braking under 25 mph]",
        "present: [hot]\nabsent: [idle hot or cold]",
        "present: [overnight]\nabsent: [battery lead off overnight]",
    ):
        assert not understood(draft(front), WORDS).contradictions, front
