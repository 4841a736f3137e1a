"""Faults put into the notes of the demo shop are found: a check that finds nothing there must not
be blind."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from benchlore.checking.measured import measured
from benchlore.checking.places import Places
from benchlore.language.limits import judge
from benchlore.notes import Check, Note, read_note, read_yes_no
from checking.notes import TODAY, looked_at
from shops import REPOSITORY


@pytest.fixture(scope="module")
def notes() -> list[Note]:
    files = sorted((REPOSITORY / "kb").rglob("*.md"))
    return [read_note(str(file.relative_to(REPOSITORY)), file.read_bytes()) for file in files]


def kinds(note: Note, check: Check) -> set[str]:
    return {seen.kind for seen in measured(replace(note, checks=(check,)), Places(note))}


def test_every_verdict_turned_round_is_named(notes: list[Note]) -> None:
    turned = 0
    for note in notes:
        for check in note.checks:
            verdict = read_yes_no(check.ok)
            if verdict is None or judge(check.value, check.limit, check.check) == "none":
                continue
            turned += 1
            assert kinds(note, check) == set(), check
            assert kinds(note, replace(check, ok="no" if verdict else "yes")) == {"verdict"}, check
    assert turned > 200


def test_every_unit_taken_away_is_named_where_the_limit_has_one(notes: list[Note]) -> None:
    taken = 0
    for note in notes:
        for check in note.checks:
            if not re.fullmatch(r"[\d.]+ [a-zA-Z/ ]+", check.value) or not check.limit:
                continue
            if judge(check.value, check.limit, check.check) == "none":
                continue
            taken += 1
            bare = replace(check, value=check.value.split()[0], ok="")
            assert kinds(note, bare) == {"unit"}, check
            limit = re.sub(r"[a-zA-Z ]+$", "", check.limit)
            if re.fullmatch(r"[<>=\d. ]+", limit):
                assert kinds(note, replace(check, limit=limit, ok="")) == {"limit"}, check
    assert taken > 150


def test_every_part_taken_away_and_every_case_from_the_future_is_named(notes: list[Note]) -> None:
    parts = 0
    for note in notes:
        text = re.sub(r"\{part: [^,{}\"]+, fault", "{fault", note.text)
        if text != note.text and "certainty: unknown" not in text:
            parts += 1
            assert any("names no part" in problem.what for problem in looked_at(text)), note.path
        later = re.sub(r"(?m)^date: 20", "date: 21", note.text, count=1)
        if later != note.text:
            said = [p for p in looked_at(later) if "lies in the future" in p.what]
            assert len(said) == 1 and later.split("\n")[said[0].line - 1].startswith("date: 21")
    assert parts > 100
    assert TODAY.year == 2026


def test_each_condition_said_to_be_absent_as_well_is_named(notes: list[Note]) -> None:
    named = said = 0
    for note in notes:
        if not note.present or any(len(item.text.split()) > 6 for item in note.present):
            continue
        said += 1
        text = re.sub(r"(?m)^absent: .*$", "", note.text, count=1)
        quoted = note.present[0].text.replace("'", "''")
        text = text.replace("---\n", f"---\nabsent: ['{quoted}']\n", 1)
        named += any("under absent is what" in problem.what for problem in looked_at(text))
    assert said > 50
    assert named == said
