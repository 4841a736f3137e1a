"""Findings beside limits: one row a check, one unit a row, verdicts, the strip."""

from __future__ import annotations

import pytest

from benchlore.evidence.strip import strip
from benchlore.evidence.telling import sections
from benchlore.evidence.units import converted
from evidence.cases import case, sum_of


def play(
    number: int, value: str, limit: str = '"<= 0.05 mm"', name: str = "wheel bearing play"
) -> object:
    return case(
        number,
        f"checks: [{{check: {name}, value: {value}, limit: {limit}, limit_from: workshop manual}}]",
    )


def test_values_are_put_into_the_unit_that_stands_most_often() -> None:
    found = sum_of(play(1, "0.14 mm"), play(2, "5.5 thou"), play(3, "0.03 mm"))  # type: ignore[arg-type]
    (row,) = found.findings
    assert row.unit == "mm" and (row.within, row.beyond) == (1, 2)
    # 1 thou = 0.0254 mm exactly (NIST SP 811 (2008), Appendix B: 1 in = 25.4 mm exactly).
    assert [value.low for value in row.values] == pytest.approx([0.14, 0.1397, 0.03])
    assert [value.converted for value in row.values] == ["", "0.1397 mm", ""]


def test_a_value_without_a_unit_is_shown_as_written_and_never_judged() -> None:
    (row,) = sum_of(play(1, "0.14"), play(2, "0.14 mm")).findings  # type: ignore[arg-type]
    bare = row.values[0]
    assert (bare.text, bare.low, bare.verdict) == ("0.14", None, "none")


def test_limits_stand_side_by_side_with_their_sources() -> None:
    (row,) = sum_of(play(1, "0.14 mm"), play(2, "0.08 mm", '"<= 0.10 mm"')).findings  # type: ignore[arg-type]
    assert [limit.text for limit in row.limits] == ["<= 0.05 mm", "<= 0.10 mm"]
    assert [value.verdict for value in row.values] == ["beyond", "within"]


def test_no_limit_given_is_said() -> None:
    found = sum_of(case(1, "checks: [{check: wheel bearing play, value: 0.14 mm}]"))
    (section,) = [each for each in sections(found) if each.title.startswith("Measured")]
    assert any("no limit given" in row.text for row in section.rows)


def test_a_verdict_against_the_notes_own_word_is_said() -> None:
    front = 'checks: [{check: wheel bearing play, value: 0.14 mm, limit: "<= 0.05 mm", ok: yes}]'
    (section,) = [e for e in sections(sum_of(case(1, front))) if e.title.startswith("Measured")]
    assert any("beyond" in r.text and "the note says in order" in r.text for r in section.rows)


def test_the_technicians_own_reading_is_judged_by_each_limit() -> None:
    cases = (play(1, "0.14 mm"), play(2, "0.08 mm", '"<= 0.10 mm"'))
    (row,) = sum_of(*cases, found=("0.09 mm",)).findings  # type: ignore[arg-type]
    assert [(own.limit, own.verdict) for own in row.own] == [
        ("<= 0.05 mm", "beyond"), ("<= 0.10 mm", "within"),
    ]  # fmt: skip


def test_the_strip_has_values_limit_and_own_reading_in_order() -> None:
    cases = (play(1, "0.02 mm"), play(2, "0.14 mm"))
    (row,) = sum_of(*cases, found=("0.10 mm",)).findings  # type: ignore[arg-type]
    drawn = strip(row, 40)
    assert len(drawn) <= 40 and drawn.startswith("0.02 [") and drawn.endswith("] 0.14 mm")
    marks = [char for char in drawn if char in "ox|Y"]
    assert "".join(marks) == "o|Yx"


def test_no_strip_where_there_is_no_room_or_nothing_to_compare() -> None:
    (row,) = sum_of(play(1, "0.02 mm"), play(2, "0.14 mm")).findings  # type: ignore[arg-type]
    assert strip(row, 20) == ""
    (alone,) = sum_of(case(1, "checks: [{check: wheel bearing play, value: 0.14 mm}]")).findings
    assert strip(alone, 60) == ""


@pytest.mark.parametrize(
    ("number", "unit", "wanted", "difference", "expected"),
    [
        (30, "psi", "bar", False, 2.06843),
        (210, "F", "C", False, 98.889),
        (10, "F", "C", True, 5.5556),
        (65, "lbf ft", "N m", False, 88.1282),
        (40, "mpg", "l/100 km", False, 7.06202),
        (20, "inHg", "kPa", False, 67.7278),
        (5.5, "thou", "mm", False, 0.1397),
    ],
)
def test_conversion(
    number: float, unit: str, wanted: str, difference: bool, expected: float
) -> None:
    """NIST SP 811 (2008), Appendix B factors, from memory; worked values as in W01 to W08 of the
    trade reference."""
    assert converted(number, unit, wanted, difference) == pytest.approx(expected, rel=1e-4)


def test_units_of_two_kinds_do_not_convert() -> None:
    with pytest.raises(ValueError, match="mm to bar"):
        converted(1, "mm", "bar")


def test_a_number_in_the_name_of_a_check_is_no_reading() -> None:
    front = """checks:
      - {check: charging volts at 2000 rpm, value: 14.2 V, limit: 13.8..14.8 V}"""
    (row,) = sum_of(case(1, front), found=("charging volts at 2000 rpm: 13.1 V",)).findings
    assert [(own.text, own.verdict) for own in row.own] == [("13.1 V", "beyond")]


def test_a_temperature_drop_in_other_degrees_has_no_offset_taken_off() -> None:
    """A difference of 10 F is 5.556 K (NIST SP 811 (2008), section 4.2.1.1, from memory)."""
    name = "temperature drop across the radiator"
    fronts = [
        f'checks: [{{check: {name}, value: {value}, limit: ">= 5 K"}}]'
        for value in ("6 C", "7 C", "10 F")
    ]
    (row,) = sum_of(*(case(number, front) for number, front in enumerate(fronts))).findings
    assert (row.unit, row.within) == ("C", 3)
    assert [value.low for value in row.values] == pytest.approx([6.0, 7.0, 5.5556], rel=1e-4)
    assert strip(row, 60)
