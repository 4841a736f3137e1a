"""Which cases are due for a call, the longest waiting first."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from benchlore.shop import FOLLOW_UP_DAYS, init_shop, read_settings
from benchlore.writeup.due import due_among, due_cases
from shops import ShopFolder
from writeup.drafts import draft

TODAY = datetime.date(2025, 8, 1)


def due(*fronts: str, days: int = 30) -> list[tuple[str, str]]:
    notes = [draft(f"symptom: hums\n{front}", path=f"kb/{front}.md") for front in fronts]
    return [(each.note.date, each.words) for each in due_among(notes, days, TODAY)]


@pytest.mark.parametrize(
    ("front", "words"),
    [
        ("date: 2025-06-19\noutcome: {result: open}", "open for 43 days"),
        ("date: 2025-07-31", "no outcome for 1 day"),
        ("date: 2025-06-19\noutcome: {result: fixed}", "fixed 43 days ago, not confirmed"),
        ("date: 2025-01-01\noutcome: {result: Improved, date: 2025-06-01}",
         "improved 61 days ago, not confirmed"),
        ("date: 2026-01-01\noutcome: {result: open}", "open for 0 days"),
        ("outcome: {result: open}", "open, no date"),
        ("outcome: {result: fixed}", "fixed, not confirmed"),
    ],
)  # fmt: skip
def test_what_is_due_says_why(front: str, words: str) -> None:
    assert [said for _, said in due(front)] == [words]


@pytest.mark.parametrize(
    "front",
    [
        "date: 2025-07-02\noutcome: {result: fixed}",
        "date: 2025-01-02\noutcome: {result: fixed, after: 4100 km}",
        "date: 2025-01-02\noutcome: {result: fixed, comeback: false}",
        "date: 2025-01-02\noutcome: {result: declined}",
        "date: 2025-01-02\noutcome: {result: not fixed, comeback: true}",
    ],
)
def test_what_was_heard_of_or_turned_down_is_not_due(front: str) -> None:
    assert due(front) == []


def test_the_longest_waiting_come_first_and_those_without_date_last() -> None:
    found = due(
        "outcome: {result: open}",
        "date: 2025-07-01\noutcome: {result: open}",
        "date: 2024-07-01\noutcome: {result: fixed}",
    )
    assert [date for date, _ in found] == ["2024-07-01", "2025-07-01", ""]


def test_the_shop_says_after_how_many_days() -> None:
    front = "date: 2025-07-22\noutcome: {result: fixed}"
    assert not due(front) and due(front, days=7)


def test_due_cases_are_read_from_an_index(shop_folder: ShopFolder) -> None:
    shop_folder.write("shop.toml", "follow_up_days = 7\n")
    shop_folder.write(
        "kb/1.md", "---\nsymptom: hums\ndate: 2025-07-20\noutcome: {result: fixed}\n---\n"
    )
    shop_folder.write(
        "kb/2.md", "---\nsymptom: hums\ndate: 2025-07-30\noutcome: {result: fixed}\n---\n"
    )
    shop_folder.write("kb/plain.txt", "a list of wheel nut torques\n")
    shop_folder.write("articles/hum.md", "---\ntitle: Hum\nsymptom: hums\n---\n")
    shop_folder.build()
    store = shop_folder.engine().index.store
    found = due_cases(store, shop_folder.shop.settings, TODAY)
    assert [each.note.path for each in found] == ["kb/1.md"]


@pytest.mark.parametrize("wrong", ['"soon"', "-1", "true", "1.5", "100000", "[]"])
def test_f02_days_that_cannot_be_used_are_named_and_the_default_is_used(
    tmp_path: Path, wrong: str
) -> None:
    (tmp_path / "shop.toml").write_text(f"follow_up_days = {wrong}\n")
    settings = read_settings(tmp_path)
    assert settings.follow_up_days == FOLLOW_UP_DAYS
    assert "follow_up_days" in settings.problems[0]


def test_a_new_shop_is_shown_the_setting(tmp_path: Path) -> None:
    init_shop(str(tmp_path / "shop"), "2025-08-01")
    text = (tmp_path / "shop" / "shop.toml").read_text()
    assert f"# follow_up_days = {FOLLOW_UP_DAYS}" in text
    (tmp_path / "shop" / "shop.toml").write_text(text.replace("# follow_up", "follow_up"))
    assert not read_settings(tmp_path / "shop").problems
