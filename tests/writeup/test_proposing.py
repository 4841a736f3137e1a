"""A pasted job card to what may be taken over from it."""

from __future__ import annotations

import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchlore.language.vocabulary import shipped
from benchlore.notes.compose import compose
from benchlore.notes.reader import read_note
from benchlore.writeup.proposing import Proposal, propose
from writeup.job_cards import TODAY, Card, cards, proposed, score

CARDS = cards()


def found(text: str, field: str) -> list[object]:
    return [each.value for each in proposed(text) if each.field == field]


def test_one_pasted_line_starts_a_case() -> None:
    text = CARDS[0].text
    said = {(p.field, str(p.value)): p for p in proposed(text)}
    assert said["machine.year", "2019"].line == 1
    assert said["codes", "P0301"].said == "P0301"
    (check,) = found(text, "checks")
    assert check == {"check": "RH rear brg play", "value": "0.14mm", "limit": ".05"}
    assert found(text, "present") == ["above 50", "loaded"]
    assert found(text, "outcome") == [{"result": "fixed", "date": "2025-05-04"}]


def test_proposals_keep_to_what_cards_say() -> None:
    # Figures seen: tuned on 0.97 and 0.96, held back 0.89 and 0.85.
    tuned = score([card for card in CARDS if not card.held_back])
    held_back = score([card for card in CARDS if card.held_back])
    assert tuned.precision >= 0.94 and tuned.recall >= 0.94
    assert held_back.precision >= 0.86 and held_back.recall >= 0.83


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.name)
def test_every_proposal_points_at_its_words(card: Card) -> None:
    for proposal in proposed(card.text):
        assert proposal.said and proposal.said in card.text
        lines = card.text.split("\n")
        assert lines[proposal.line - 1].find(proposal.said.split("\n")[0]) >= 0


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.name)
def test_no_cause_is_proved_by_words_alone(card: Card) -> None:
    for cause in found(card.text, "causes"):
        assert isinstance(cause, dict) and cause["certainty"] in ("likely", "suspected")


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("Rattles cold. No P0301 stored.", "codes"),
        ("Rattles cold. Fitted new water pump.", "outcome"),
        ("Rattles cold. Fitted new water pump, still the same.", "causes"),
        ("Rattles cold. Topped up with 2.1 litres of oil.", "checks"),
        ("Rattles cold. 2.2 hrs labour", "checks"),
        ("Rattles between 2000 and 2500 rpm.", "machine.year"),
        ("Rattles cold. Booked in for 4/5/2030", "date"),
        ("Wheel nut torque list", "symptom"),
        ("Fell off the ramp yesterday", "machine.model"),
        ("Rattles cold. Done 300 miles since.", "machine.odometer"),
    ],
)
def test_what_is_not_plainly_said_is_not_proposed(text: str, field: str) -> None:
    assert found(text, field) == []


def test_a_condition_says_alone_what_it_said_in_its_sentence() -> None:
    assert found("Misfires, only when hot", "present") == ["hot"]
    assert "3000 rpm" not in found("No boost until 3000 rpm", "present")


def test_a_limit_may_stand_behind_more_words() -> None:
    (check,) = found("Loses lift. Oil temp 92 C in the tank, limit 85 C.", "checks")
    assert check == {"check": "Oil temp", "value": "92 C", "limit": "85 C"}
    (check,) = found("Loses lift. Pump flow 48 l/min at 180 bar, spec 55 min.", "checks")
    assert check == {"check": "Pump flow", "value": "48 l/min"}


def test_what_comes_behind_the_measuring_is_no_symptom() -> None:
    assert found("Pad 1.2 mm. Caliper leaking badly.", "symptom") == []


def test_what_is_denied_right_before_its_words_is_not_present() -> None:
    assert "after a few miles" not in found("Squeaks cold, not after a few miles", "present")


def test_a_model_of_the_shop_brings_its_make() -> None:
    text = "Pico 2018 54,220 km, whines in reverse"
    assert (found(text, "machine.make"), found(text, "machine.model")) == (["Brenno"], ["Pico"])
    unknown = propose(text, shipped(), TODAY)
    assert [p.field for p in unknown if p.field in ("machine.make", "machine.model")] == []


def test_proposals_fit_into_a_note() -> None:
    fields: dict[str, object] = {}
    for each in proposed(CARDS[0].text):
        if each.field in ("present", "absent", "codes", "checks", "causes"):
            fields.setdefault(each.field, []).append(each.value)  # type: ignore[attr-defined]
        elif each.field.startswith("machine."):
            fields.setdefault("machine", {})[each.field[8:]] = each.value  # type: ignore[index]
        else:
            fields[each.field] = each.value
    note = read_note("kb/new.md", compose(fields))  # type: ignore[arg-type]
    assert not note.problems
    assert note.machine.model == "Carrier 35" and note.checks[0].limit == ".05"


FRAGMENTS = [
    "2019", "Carrier 35", "142300km", "P0301", "droning", "above 50", "worse", "loaded", "ok when",
    "cold", "0.14mm", "(limit", ".05)", "max", "<=", "4/5/25", "31/02/2025", "fixed", "came back",
    "Complaint:", "Job no:", "date:", "\n", "\r\n", ".", ",", ";", " - ", "/", "(", ")", "'", '"',
    "brg", "replaced", "turned out to be", "\x00", "\u202e", "\ud800", "½", "µ", "=", ":",
]  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(st.lists(st.sampled_from(FRAGMENTS), max_size=40).map(" ".join) | st.text(max_size=200))
def test_any_text_is_read(text: str) -> None:
    seen = proposed(text)
    assert all(isinstance(each, Proposal) and each.said in text for each in seen)
    assert all(1 <= each.line <= text.count("\n") + text.count("\r") + 1 for each in seen)
    assert len(set(map(repr, seen))) == len(seen)


@pytest.mark.parametrize(
    "piece", ["a ", " ", "1", "(", "play 0.1 mm ", "make: ", "x", "\u00a0", ".\n"]
)
def test_a_text_made_to_be_slow_is_read(piece: str) -> None:
    propose("play" + piece * 4000 + "0.14 mm", shipped(), TODAY)


def test_a_text_too_long_is_read_as_far_as_it_goes() -> None:
    text = "Rattles cold. " + "x " * 50_000
    assert propose(text, shipped(), datetime.date(2025, 1, 1))
