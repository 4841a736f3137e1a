"""What cases add up to: counts, shares, conditions, traps, results so far."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchlore.evidence.telling import cause_line, sections
from evidence.cases import case, sum_of, with_cause

PARTS = ["wheel bearing", "n/s wheel brg", "o/s/f wheel bearing", "front tyres", "propshaft joint",
         "diff pinion bearing", "hub seal"]  # fmt: skip


def test_the_same_cause_written_differently_is_counted_once() -> None:
    found = sum_of(
        with_cause(1, "front wheel brg"), with_cause(2, "wheel bearing", "failed"),
        with_cause(3, "front tyres", "feathered"),
    )  # fmt: skip
    assert [(cause.cases, len(cause.written)) for cause in found.causes] == [(2, 2), (1, 1)]
    assert [source.first_line for source in found.causes[0].sources] == [4, 4]


def test_left_and_right_are_two_causes_of_one_part() -> None:
    found = sum_of(with_cause(1, "n/s wheel bearing"), with_cause(2, "o/s wheel bearing"))
    assert [cause.cases for cause in found.causes] == [1, 1]
    assert [cause.anywhere for cause in found.causes] == [2, 2]


def test_a_merged_cause_can_be_split() -> None:
    cases = (with_cause(1, "front wheel brg"), with_cause(2, "wheel bearing", "failed"))
    (merged,) = sum_of(*cases).causes
    split = sum_of(*cases, apart=(merged.name,)).causes
    assert [cause.cases for cause in split] == [1, 1]


def test_two_causes_of_one_case_count_singly_and_as_a_pair() -> None:
    two = "causes: [{part: radiator, fault: blocked}, {part: viscous fan, fault: slipping}]"
    found = sum_of(case(1, two), case(2, two), with_cause(3, "radiator", "blocked"))
    assert {cause.name: cause.cases for cause in found.causes} == {"radiator": 3, "viscous fan": 2}
    assert [(set(pair.names), pair.cases) for pair in found.pairs] == [
        ({"radiator", "viscous fan"}, 2)
    ]
    assert len(found.pairs[0].sources) == 4


def test_unknown_and_open_cases_are_counted_and_said() -> None:
    found = sum_of(
        with_cause(1, "wheel bearing"),
        case(2, "causes: [{part: not found, certainty: unknown}]\noutcome: {result: open}"),
        case(3, "symptom: hums"),
    )
    assert (len(found.unknown), len(found.unrecorded), len(found.open)) == (1, 1, 1)
    said = [row.text for row in sections(found)[0].rows]
    assert "cause not found in 1 case" in said and "still open: 1 case" in said
    assert "no cause written down as such in 1 case: their text may tell it" in said


def test_under_three_cases_there_is_no_share() -> None:
    two = sum_of(with_cause(1, "wheel bearing"), with_cause(2, "wheel bearing"))
    assert two.too_few and two.causes[0].share is None
    assert "too few to say" in cause_line(two.causes[0], two)
    three = sum_of(*(with_cause(number, "wheel bearing") for number in range(3)))
    share = three.causes[0].share
    assert share is not None and share.of_all == 1.0 and share.high == 1.0
    assert share.size == pytest.approx(3.0)


def test_a_distant_case_weighs_less() -> None:
    found = sum_of(
        with_cause(1, "wheel bearing", chance=0.9), with_cause(2, "front tyres", chance=0.3),
        with_cause(3, "front tyres", chance=0.3),
    )  # fmt: skip
    assert [cause.name for cause in found.causes] == ["wheel bearing", "front tyres"]
    share = found.causes[0].share
    # odds of 0.9 are 9, of 0.3 3 / 7; to the power of 1 / 1.5
    near, far = 9 ** (2 / 3), (3 / 7) ** (2 / 3)
    assert share is not None and share.of_all == pytest.approx(near / (near + 2 * far))
    assert share.size == pytest.approx((near + 2 * far) ** 2 / (near**2 + 2 * far**2))


def test_certainty_and_comebacks_are_counted() -> None:
    back = "outcome: {result: fixed, comeback: true}"
    found = sum_of(with_cause(1, "wheel bearing", more=back), with_cause(2, "wheel bearing"))
    (cause,) = found.causes
    assert cause.certainty == (("proved", 2),)
    assert (cause.comebacks, cause.fixed) == (1, 1)


def test_conditions_are_counted_with_their_lines() -> None:
    found = sum_of(
        case(1, "present: [turning left]\nabsent: [turning right]"),
        case(2, "present: [turning left]"),
        case(3, "absent: [turning left]"),
    )
    left = next(seen for seen in found.conditions if seen.words == "turning left")
    assert (left.shown, left.missed) == (2, 1)
    assert [source.first_line for source in left.shown_in] == [2, 2]


def test_a_first_diagnosis_that_came_back_is_a_trap() -> None:
    front = """
        symptom: overheats
        causes: [{part: water pump, fault: impeller loose, certainty: proved}]
        outcome: {result: fixed, comeback: true}
    """
    told = "Eleven days before this I put a thermostat in it and let it go.\n"
    (trap,) = sum_of(case(1, front, told)).traps
    assert (trap.what, trap.instead) == ("thermostat", "water pump")
    assert trap.source.first_line == 6 and "thermostat" in trap.said


def test_the_word_may_is_no_month() -> None:
    front = """
        symptom: overheats
        causes: [{part: water pump, fault: impeller loose, certainty: proved}]
        outcome: {result: fixed, comeback: true}
    """
    assert not sum_of(case(1, front, "A new thermostat may be fitted at the next service.\n")).traps


def test_without_a_comeback_there_is_no_trap() -> None:
    front = "symptom: overheats\ncauses: [{part: water pump, fault: worn}]"
    assert not sum_of(case(1, front, "Eleven days before this I put a thermostat in it.")).traps


def test_a_cause_that_was_dealt_with_and_not_fixed_is_a_trap() -> None:
    more = "outcome: {result: not fixed, comeback: true}"
    (trap,) = sum_of(with_cause(1, "head gasket", "weeping", more=more)).traps
    assert trap.what == "head gasket"


CHECKED = """
    symptom: hums
    checks:
      - {{check: hub spun by hand, found: {found}, ok: {ok}, minutes: 5}}
      - {{check: tyres swapped front to rear, found: {tyres}, ok: {fine}, minutes: 25}}
    causes: [{{part: {part}, fault: worn, certainty: proved}}]
"""


def hub(number: int) -> object:
    return case(
        number,
        CHECKED.format(found="rough", ok="no", tyres="no change", fine="yes", part="wheel bearing"),
    )


def tyre(number: int) -> object:
    return case(
        number,
        CHECKED.format(
            found="smooth", ok="yes", tyres="noise moved", fine="no", part="front tyres"
        ),
    )


def test_the_cheaper_of_two_telling_checks_comes_first() -> None:
    found = sum_of(hub(1), hub(2), tyre(3), tyre(4))  # type: ignore[arg-type]
    assert [check.check for check in found.checks] == [
        "hub spun by hand",
        "tyres swapped front to rear",
    ]
    best = found.checks[0]
    assert best.minutes == 5 and best.bits_per_minute == pytest.approx(best.bits / 5)
    meaning = {result.outcome: result.causes[0][0] for result in best.results}
    assert meaning == {"in order": "front tyres", "not in order": "wheel bearing"}
    assert all(result.rests_on for result in best.results)


def test_a_result_moves_the_causes_and_is_not_asked_for_again() -> None:
    cases = (hub(1), hub(2), tyre(3), tyre(4))
    found = sum_of(*cases, found=("hub spun by hand: smooth, ok",))  # type: ignore[arg-type]
    assert found.found[0].outcome == "in order"
    assert found.causes[0].name == "front tyres" and found.causes[0].likely == pytest.approx(0.75)
    assert [check.check for check in found.checks] == ["tyres swapped front to rear"]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("gearbox oil drained: black", "no close case"),
        ("hub spun by hand", "check: result"),
        ("hub spun by hand: purple", "ok or not ok"),
    ],
)
def test_a_result_that_cannot_be_placed_says_why_and_changes_nothing(text: str, why: str) -> None:
    cases = (hub(1), tyre(2))
    found = sum_of(*cases, found=(text,))  # type: ignore[arg-type]
    assert found.found[0].outcome is None and why in found.found[0].why
    assert [c.likely for c in found.causes] == [c.likely for c in sum_of(*cases).causes]  # type: ignore[arg-type]


def test_where_nothing_tells_causes_apart_it_says_so() -> None:
    assert "one cause" in sum_of(hub(1), hub(2)).nothing_to_choose  # type: ignore[arg-type]
    assert "no checks" in sum_of(with_cause(1, "tyre"), with_cause(2, "hub seal")).nothing_to_choose
    assert "no cause" in sum_of(case(1, "symptom: hums")).nothing_to_choose


@given(st.lists(st.sampled_from(PARTS), min_size=1, max_size=8), st.sampled_from(PARTS))
@settings(max_examples=60, deadline=None)
def test_adding_a_case_with_a_cause_never_lowers_its_count(parts: list[str], added: str) -> None:
    cases = [with_cause(number, part) for number, part in enumerate(parts)]

    def count(of: list[object]) -> int:
        return max(
            (
                cause.cases
                for cause in sum_of(*of).causes  # type: ignore[arg-type]
                if any(written.part == added for written in cause.written)
            ),
            default=0,
        )

    assert count([*cases, with_cause(99, added)]) >= count([*cases])


@given(st.lists(st.sampled_from(PARTS), min_size=1, max_size=6))
@settings(max_examples=30, deadline=None)
def test_every_source_is_a_line_that_says_so(parts: list[str]) -> None:
    cases = [with_cause(number, part) for number, part in enumerate(parts)]
    stated = {c.note.path: c.note.text.splitlines() for c in cases}
    for cause in sum_of(*cases).causes:
        for written in cause.written:
            source = written.source
            lines = stated[source.file][source.first_line - 1 : source.last_line]
            assert any(written.part in line and written.fault in line for line in lines)


def test_causes_that_are_hardly_likely_stand_in_one_row() -> None:
    near = [with_cause(number, "wheel bearing", chance=0.99) for number in range(3)]
    far = [with_cause(9, "front tyres", chance=0.2), with_cause(10, "hub seal", chance=0.2)]
    found = sum_of(*near, *far)
    said = [row.text for row in sections(found)[0].rows]
    assert said[1] == "2 more, each less likely: front tyres, hub seal"
    assert len(found.causes) == 3


def test_conditions_of_the_nearest_cases_come_first() -> None:
    near = case(1, "present: [turning left]", chance=0.98)
    far = [case(number, "present: [cold]", chance=0.25, closeness="related") for number in (2, 3)]
    assert [seen.words for seen in sum_of(near, *far).conditions] == ["turning left", "cold"]
