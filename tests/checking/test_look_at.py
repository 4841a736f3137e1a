"""What needs a look in one note: each kind, and near misses that have nothing wrong."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore.notes import read_note
from checking.notes import TODAY, front, looked_at, of_check


def words_of(text: str) -> str:
    return " | ".join(problem.what for problem in looked_at(text))


@pytest.mark.parametrize(
    ("check", "value", "limit", "said"),
    [
        ("bearing axial play", "0.14", '"<= 0.05 mm"', "'0.14' has no unit, its limit is in mm"),
        ("bearing axial play", "0.14", "", "'0.14' has no unit"),
        ("battery voltage", "12", "", "'12' has no unit"),
        ("fuel pressure", "3 bar", '"<= 5 mm"', "cannot be compared with its limit"),
        ("drop over the strap", "0.4 V", '"<= 0.1"', "the limit '<= 0.1' has no unit"),
        ("sensor resistance", "60 ohm", "about 60 ohm", "does not say on which side"),
        ("fuel pressure", "3 bar", "4 bar", "does not say on which side"),
    ],
)
def test_values_and_limits_that_cannot_be_used(
    check: str, value: str, limit: str, said: str
) -> None:
    assert said in words_of(of_check(check=check, value=value, limit=limit))


@pytest.mark.parametrize(
    ("check", "value", "limit"),
    [
        ("bearing axial play", "0.14 mm", '"<= 0.05 mm"'),
        ("coolant rise over ambient", "40 K", '"<= 50 C"'),
        ("compression", "12, 11.5 and 12 bar", '">= 10 bar"'),
        ("number of flat spots", "3", ""),
        ("broken ring gear teeth", "2", '"<= 0"'),
        ("lambda at idle", "1.02", ""),
        ("battery specific gravity", "1.265", '">= 1.25"'),
        ("leaks found", "2", ""),
        ("wheel play by hand", "none", "no play"),
        ("pedal", "3 of 8 clicks", ""),
        ("time to cut-out", "13 min", '"<= 6 min"'),
        ("oil cleanliness", "18/16/13", ""),
    ],
)
def test_what_a_technician_would_accept_is_left_alone(check: str, value: str, limit: str) -> None:
    assert words_of(of_check(check=check, value=value, limit=limit)) == ""


def test_distances_without_a_unit() -> None:
    ran = "machine: {make: Halden, odometer: %s}"
    ended = "outcome: {result: fixed, after: %s}"
    assert "the odometer's '142300' has no unit" in words_of(front(ran % "142300"))
    assert "after: '4,100' has no unit" in words_of(front(ended % "'4,100'"))
    assert words_of(front(ran % "4120 h", ended % "4100 km")) == ""


@pytest.mark.parametrize(
    ("value", "ok", "said"),
    [
        ("0.14 mm", "true", "is beyond the limit"),
        ("0.02 mm", "no", "keeps to the limit"),
        ("1 thou", "false", "keeps to the limit"),
        ("0.14 mm", "perhaps", "is neither yes nor no"),
    ],
)
def test_verdicts_that_contradict_the_limit(value: str, ok: str, said: str) -> None:
    note = of_check(check="axial play", value=value, limit='"<= 0.05 mm"', ok=ok)
    assert said in words_of(note)


@pytest.mark.parametrize(
    ("value", "ok"), [("0.14 mm", "false"), ("0.05 mm", "yes"), ("loose", "no")]
)
def test_verdicts_that_agree(value: str, ok: str) -> None:
    assert words_of(of_check(check="axial play", value=value, limit='"<= 0.05 mm"', ok=ok)) == ""


def test_a_cause_without_a_part() -> None:
    assert "names no part" in words_of(front("causes:", "  - {fault: worn, certainty: likely}"))
    unknown = front("causes:", "  - {fault: not found, certainty: unknown}")
    assert words_of(unknown) == ""
    assert words_of(front("causes:", "  - {part: hub seal, certainty: likely}")) == ""


PROVED = "causes: [{part: wheel bearing, fault: pitted, certainty: proved}]"


@pytest.mark.parametrize(
    ("checks", "body", "said"),
    [
        ("checks: []", "", "no check of the note has a finding"),
        ("checks: [{check: road test}]", "Done.", "no check of the note has a finding"),
        (
            "checks: [{check: tyres swapped, found: no change, ok: true}]",
            "",
            "no check points to it",
        ),
        ("checks: [{check: hub spun by hand, found: rough, ok: false}]", "", ""),
        ("checks: [{check: tyres swapped, found: no change, points_to: [hub]}]", "", ""),
        ("checks: [{check: wheel bearing listened to, found: growls}]", "", ""),
        ("checks: []", "The bearing came out in three pieces.", ""),
    ],
)
def test_a_cause_called_proved_needs_a_finding(checks: str, body: str, said: str) -> None:
    found = words_of(front(checks, PROVED, body=body))
    assert (said in found) if said else found == ""


def test_a_cause_that_is_only_likely_needs_none() -> None:
    assert words_of(front(PROVED.replace("proved", "likely"))) == ""


@pytest.mark.parametrize(
    ("outcome", "body", "found"),
    [
        ("{result: fixed, comeback: true}", "New bearing fitted.", True),
        ("{result: fixed, comeback: yes}", "", True),
        ("{result: fixed, comeback: false}", "", False),
        ("{result: not fixed, comeback: true}", "", False),
        # a second go at it, which then held: the comeback was the first one's
        ("{result: fixed, comeback: true}", "First time in we had fitted a thermostat.", False),
    ],
)
def test_fixed_and_yet_a_comeback(outcome: str, body: str, found: bool) -> None:
    said = words_of(front(f"outcome: {outcome}", body=body))
    assert ("yet the machine came back" in said) is found


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (["date: 2027-01-05"], "2027-01-05 lies in the future"),
        (["date: 2026-11-28"], "lies in the future"),
        (["date: 2026-11-01", "outcome: {result: open, date: 2027-02-01}"], "2027-02-01 lies"),
        (["date: 2025-05-14", "outcome: {result: fixed, date: 2025-05-13}"], "before the case's"),
    ],
)
def test_b10_dates_in_the_future_or_out_of_order_are_named(lines: list[str], said: str) -> None:
    assert said in words_of(front(*lines))


def test_b10_today_and_an_outcome_on_the_same_day_are_in_order() -> None:
    assert words_of(front(f"date: {TODAY}", f"outcome: {{result: fixed, date: {TODAY}}}")) == ""


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("2025-02-30", "is not a date"),
        ("14.05.2025", "is read as 2025-05-14"),
        ("2025-5-4", "is read as 2025-05-04"),
        ("04/05/2025", "can be read in two ways; 4 May 2025 was read"),
        ("2025-05-14", ""),
    ],
)
def test_c08_each_way_to_write_a_date(written: str, said: str) -> None:
    found = words_of(front(f"date: {written}"))
    assert (said in found) if said else found == ""


@pytest.mark.parametrize(
    ("present", "absent", "found"),
    [
        ("turning left", "turning left", True),
        ("left-handers", "turning left", True),
        ("turning left, loaded", "turning left", True),
        ("cold", "engine cold", True),
        ("cold", "stone cold after a night out", False),
        ("engine cold", "cold", True),
        ("60 to 70 mph", "above 50 mph", True),
        ("turning left", "turning right", False),
        ("turning left", "turning left, loaded", False),
        ("idling hot", "idling cold", False),
        ("above 50 mph", "60 to 70 mph", False),
        ("big trailer on", "small trailer", False),
        ("hums on the lift", "grinds on the lift", False),
    ],
)
def test_conditions_that_are_present_and_absent_at_once(
    present: str, absent: str, found: bool
) -> None:
    said = words_of(front(f"present: ['{present}']", f"absent: ['{absent}']"))
    assert ("under absent is what" in said) is found


def test_c20_cautions_that_cannot_be_read_are_named_at_their_line() -> None:
    note = "---\nsymptom: hums\nlimit: @x\ncautions: [hot, 'open\n---\nText.\n"
    said = [problem for problem in looked_at(note) if "cautions of this note" in problem.what]
    assert [problem.line for problem in said] == [4]
    assert "cautions of this note" not in words_of(front("cautions: [hot coolant]"))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("VIN 1M8GDM9AXKP042788", "its check digit is right"),
        ("VIN 1M8GDM9A1KP042788", "perhaps a vehicle identification number"),
        ("ring 01632 960 123", "a telephone number"),
        ("write to a.b@example.org.", "an e-mail address"),
        ("reg AB12 CDE", "perhaps a registration plate"),
        ("Mrs Harriet Ploughman wants it back", "perhaps a person's name"),
        ("customer Albert Fenwick says", "perhaps a person's name"),
    ],
)
def test_personal_data_anywhere_in_the_text(text: str, said: str) -> None:
    assert said in words_of(front("symptom: hums", body=f"\n{text}\n"))
    assert said in words_of(front(f'symptom: "{text}"'))


@pytest.mark.parametrize(
    "text",
    [
        "part 90915-10003", "HD22 at 142300 km", "Customer says it hums", "Driver Door is stuck",
        "order 4711-2025-0147", "0.14 mm against 0.05 mm", "frame 12345678901234567",
    ],
)  # fmt: skip
def test_what_names_nobody_is_left_alone(text: str) -> None:
    assert words_of(front("symptom: hums", body=f"\n{text}\n")) == ""


def test_an_engine_code_with_three_letters_behind_it_is_no_plate() -> None:
    machine = "machine: {make: Halden, engine: HD22}"
    assert words_of(front(machine, body="The HD22 ECU was fine.\n")) == ""
    assert "registration plate" in words_of(front(body="The HD22 ECU was fine.\n"))


def test_places_are_those_of_the_value_that_is_meant() -> None:
    note = of_check(check="axial play", minutes="0.14", value="0.14", limit='"<= 0.05 mm"')
    found = looked_at(note)
    assert [(problem.line, problem.column) for problem in found] == [(6, 12)]


def test_what_the_reader_says_itself_is_among_it() -> None:
    assert "twice" in words_of(front("date: 2025-01-01", "date: 2025-01-02"))
    assert "encoding guessed" in looked_at(b"---\nsymptom: 80 \xb0C\n---\n")[0].what


@given(st.text(max_size=300), st.text(max_size=60), st.text(max_size=60))
def test_no_note_makes_it_stumble(body: str, value: str, other: str) -> None:
    text = front(
        f"date: {value}", f"codes: [{other}]", f"present: [{value}]", f"absent: [{other}]",
        "checks:", f"  - check: play {other}", f"    value: {value}", f"    limit: {other}",
        body=body,
    )  # fmt: skip
    note = read_note("kb/a.md", text.encode("utf-8", "surrogatepass"))
    for problem in looked_at(note.text):
        assert problem.line >= 1 and problem.column >= 1
