"""A new case: its number, its folder, its file."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from benchlore.notes.compose import filled
from benchlore.notes.parts import read_parts
from benchlore.writeup.casefile import folder_for, next_case, save_case, template

TODAY = datetime.date(2026, 3, 4)


@pytest.mark.parametrize(
    ("cases", "number"),
    [
        (["2026-0147", "2026-0009", "2025-1999"], "2026-0148"),
        (["2025-1999"], "2026-0001"),
        (["2026/9", "2026/10"], "2026/11"),
        (["2026/09", "2026/99"], "2026/100"),
        (["20260012"], "20260013"),
        (["J4711", "van, June"], ""),
        ([], ""),
    ],
)
def test_the_next_number_is_written_like_the_last(cases: list[str], number: str) -> None:
    assert next_case(cases, TODAY) == number


def test_a_case_goes_into_its_year_where_the_shop_keeps_years(tmp_path: Path) -> None:
    (tmp_path / "kb" / "2024").mkdir(parents=True)
    assert folder_for(tmp_path, "2026-03-04") == "kb/2026"
    assert folder_for(tmp_path, "last week") == "kb"
    assert folder_for(tmp_path, "") == "kb"


def test_a_case_goes_into_kb_where_it_does_not(tmp_path: Path) -> None:
    (tmp_path / "kb" / "vans").mkdir(parents=True)
    assert folder_for(tmp_path, "2026-03-04") == "kb"
    assert folder_for(tmp_path / "not there", "2026-03-04") == "kb"


def test_the_file_is_named_by_case_and_symptom_never_by_cause(tmp_path: Path) -> None:
    (tmp_path / "kb").mkdir()
    fields = {"case": "2026-0148", "symptom": "Hums above 50", "causes": [{"part": "bearing"}]}
    assert save_case(tmp_path, fields, "Told.\n") == "kb/2026-0148-hums-above-50.md"
    assert save_case(tmp_path, {}, "Ticks when cold\nmore\n") == "kb/ticks-when-cold.md"
    assert (tmp_path / "kb" / "ticks-when-cold.md").read_text() == "Ticks when cold\nmore\n"


def test_the_template_is_read_and_says_nothing_by_itself() -> None:
    parts = read_parts(template("2026-0148", TODAY).encode())
    assert filled(dict(parts.fields)) == {
        "case": "2026-0148",
        "date": "2026-03-04",
        "outcome": {"result": "open"},
    }
