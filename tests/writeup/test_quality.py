"""What would make a case more useful is said in words, the most useful first."""

from __future__ import annotations

import datetime

import pytest

from benchlore.writeup.quality import in_one_line, quality
from writeup.drafts import draft

TODAY = datetime.date(2025, 8, 1)

WHOLE = """
    case: 2025-0147
    date: 2025-05-14
    machine: {make: Halden, model: Carrier 35, odometer: 142300 km}
    symptom: Droning hum from the rear
    system: wheels
    present: [above 50 km/h]
    absent: [standing still]
    checks:
      - {check: wheel bearing play, value: 0.14 mm, limit: "<= 0.05 mm", limit_from: manual}
    causes: [{part: wheel bearing right rear, fault: pitted, certainty: proved}]
    outcome: {result: fixed, date: 2025-05-14, after: 4100 km}
"""


def said(front: str) -> list[tuple[str, str]]:
    return [(each.what, each.field) for each in quality(draft(front), TODAY)]


def test_a_case_that_has_it_all_is_left_in_peace() -> None:
    assert said(WHOLE) == []


@pytest.mark.parametrize(
    ("old", "new", "what", "field"),
    [
        (', limit: "<= 0.05 mm", limit_from: manual', "", "no limit for wheel bearing play",
         "checks.limit"),
        ("0.14 mm", "0.14", "no unit for wheel bearing play", "checks.value"),
        (", limit_from: manual", "", "not said where the limit for wheel bearing play is from",
         "checks.limit_from"),
        ("result: fixed", "result: open", "outcome open", "outcome"),
        (", after: 4100 km", "", "not said whether it held", "outcome.after"),
        ("check: wheel bearing play", "check: tyre pressure",
         "no check stands behind the proved cause", "checks"),
        (", certainty: proved", "", "not said how sure the cause is", "causes.certainty"),
        (", fault: pitted", "", "not said what was wrong with wheel bearing right rear",
         "causes.fault"),
        ("absent: [standing still]", "", "when it does not show is not said", "absent"),
        ("present: [above 50 km/h]", "", "when it shows is not said", "present"),
        ("symptom: Droning hum from the rear", "", "no symptom", "symptom"),
        (", odometer: 142300 km", "", "no distance or hours", "machine.odometer"),
        ("system: wheels", "", "no system", "system"),
    ],
)  # fmt: skip
def test_what_is_missing_is_named_with_its_field(old: str, new: str, what: str, field: str) -> None:
    assert old in WHOLE
    assert said(WHOLE.replace(old, new)) == [(what, field)]


def test_a_repair_of_last_week_need_not_have_held() -> None:
    assert said(WHOLE.replace("date: 2025-05-14, after: 4100 km", "date: 2025-07-25")) == []


def test_an_empty_draft_is_told_the_symptom_first() -> None:
    found = said("case: 1")
    assert found[0] == ("no symptom", "symptom")
    assert ("no machine", "machine") in found and ("nothing checked or measured", "checks") in found


def test_a_check_that_points_to_the_cause_stands_behind_it() -> None:
    hub = WHOLE.replace("check: wheel bearing play", "check: rumble by hand, points_to: [hub brg]")
    assert ("no check stands behind the proved cause", "checks") not in said(hub)


def test_one_line_holds_what_fits_and_counts_the_rest() -> None:
    found = quality(draft(WHOLE.replace("result: fixed", "result: open")
                          .replace(', limit: "<= 0.05 mm", limit_from: manual', "")
                          .replace("system: wheels", "")), TODAY)  # fmt: skip
    whole = "no limit for wheel bearing play; outcome open; no system"
    assert in_one_line(found, 80) == whole
    assert (
        in_one_line(found, len(whole) - 1)
        == "no limit for wheel bearing play; outcome open; 1 more"
    )
    assert in_one_line(found, 42) == "no limit for wheel bearing play; 2 more"
    assert in_one_line(found, 10) == "no limit …"
    assert in_one_line((), 80) == ""
    assert all(len(in_one_line(found, width)) <= max(width, 1) for width in range(80))
