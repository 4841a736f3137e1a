"""Dates as people write them."""

from __future__ import annotations

import pytest

from benchlore.search.since import since_date


@pytest.mark.parametrize(
    ("typed", "since"),
    [
        ("", ""),
        ("2023", "2023-01-01"),
        (" 2023-5 ", "2023-05-01"),
        ("14.05.2023", "2023-05-14"),
        ("2023-05-14", "2023-05-14"),
        ("2023-13", None),
        ("2023-02-30", None),
        ("last year", None),
        ("\u0662\u0660\u0662\u0663", None),
    ],
)
def test_a_date_is_read_as_its_first_day(typed: str, since: str | None) -> None:
    assert since_date(typed) == since
