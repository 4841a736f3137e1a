"""One typed line to how a job ended, and back in words."""

from __future__ import annotations

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore.errors import UsageError
from benchlore.notes import Lines, Outcome
from benchlore.writeup.outcome_line import RESULTS, in_words, read_outcome

TODAY = datetime.date(2025, 8, 1)


@pytest.mark.parametrize(
    ("typed", "result", "after", "comeback"),
    [
        ("fixed, 4100 km", "fixed", "4100 km", ""),
        ("came back after 3 weeks", "not fixed", "3 weeks", "true"),
        ("still quiet at 2000 miles", "fixed", "2000 miles", "false"),
        ("not fixed", "not fixed", "", ""),
        ("open", "open", "", ""),
        ("declined", "declined", "", ""),
        ("Fixed", "fixed", "", ""),
        ("fixed, no comeback after 2,500 miles", "fixed", "2,500 miles", "false"),
        ("hasn't been back, six months", "fixed", "six months", "false"),
        ("not come back", "fixed", "", "false"),
        ("no better", "not fixed", "", ""),
        ("still leaking", "not fixed", "", ""),
        ("better but not right", "not fixed", "", ""),
        ("improved", "improved", "", ""),
        ("customer declined, too dear", "declined", "", ""),
        ("waiting for parts", "open", "", ""),
        ("ok at 250 h", "fixed", "250 h", ""),
        ("back again after a month, same noise", "not fixed", "a month", "true"),
        ("fixed, 3k miles", "fixed", "3k miles", ""),
        ("never came back", "fixed", "", "false"),
        ("nothing came back", "fixed", "", "false"),
        ("not back yet", "fixed", "", "false"),
        ("car returned to customer, all good", "fixed", "", ""),
        ("fault returned after a week", "not fixed", "a week", "true"),
        ("not back to normal", "not fixed", "", ""),
        ("power not back yet", "not fixed", "", ""),
        ("still not quiet", "not fixed", "", ""),
        ("still not dry", "not fixed", "", ""),
        ("isn't fixed", "not fixed", "", ""),
        ("isnt fixed", "not fixed", "", ""),
        ("never fixed", "not fixed", "", ""),
        ("could not be fixed", "not fixed", "", ""),
        ("not been fixed", "not fixed", "", ""),
        ("not completely fixed", "not fixed", "", ""),
        ("not yet sorted", "not fixed", "", ""),
        ("noise not gone", "not fixed", "", ""),
        ("not good", "not fixed", "", ""),
        ("not holding", "not fixed", "", ""),
        ("did not cure it", "not fixed", "", ""),
        ("can't be cured", "not fixed", "", ""),
        ("not running right", "not fixed", "", ""),
        ("not improved", "not fixed", "", ""),
        ("not much better", "not fixed", "", ""),
        ("no less noisy", "not fixed", "", ""),
        ("part ordered and fitted, fixed", "fixed", "", ""),
        ("ok for now, pump on order", "open", "", ""),
        ("no trouble since, 900 km", "fixed", "900 km", ""),
        ("fitted, runs well", "fixed", "", ""),
    ],
)
def test_a_line_says_how_it_ended(typed: str, result: str, after: str, comeback: str) -> None:
    read = read_outcome(typed, TODAY)
    assert (read.result, read.after, read.comeback) == (result, after, comeback)
    assert read.date == "2025-08-01"


def test_the_line_may_name_another_day() -> None:
    assert read_outcome("fixed 4/5/25, 900 km", TODAY).fields == {
        "result": "fixed", "date": "2025-05-04", "after": "900 km",
    }  # fmt: skip


def test_a_distance_alone_confirms_what_the_case_says() -> None:
    earlier = Outcome("Fixed", Lines(3, 3), date="2025-05-01")
    read = read_outcome("now 4100 km", TODAY, earlier)
    assert (read.result, read.after, read.comeback) == ("fixed", "4100 km", "false")
    with pytest.raises(UsageError):
        read_outcome("4100 km", TODAY)


def test_a_case_that_was_improved_stays_so_when_it_is_still_as_good() -> None:
    earlier = Outcome("improved", Lines(3, 3))
    assert read_outcome("still fine at 500 km", TODAY, earlier).result == "improved"


def test_what_says_no_result_is_refused_with_an_example() -> None:
    with pytest.raises(UsageError) as refused:
        read_outcome("spoke to customer", TODAY)
    assert "fixed, 4100 km" in refused.value.todo


def test_what_would_be_written_is_said_in_words() -> None:
    said = [
        in_words(read_outcome(typed, TODAY))
        for typed in ("fixed", "still dry at 4100 km", "came back after 3 weeks", "open")
    ]
    assert said == [
        "fixed on 2025-08-01",
        "fixed on 2025-08-01, seen again after 4100 km, no comeback",
        "not fixed on 2025-08-01, came back after 3 weeks",
        "open on 2025-08-01",
    ]


@given(st.text(max_size=80))
def test_any_line_is_read_or_refused(typed: str) -> None:
    try:
        read = read_outcome(typed, TODAY)
    except UsageError:
        return
    assert read.result in RESULTS and read.after in typed
    assert not (read.result == "fixed" and read.comeback == "true")
