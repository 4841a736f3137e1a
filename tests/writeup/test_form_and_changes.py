"""Notes through the form and back: nothing moves but what was changed."""

from __future__ import annotations

import difflib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore.errors import BenchloreError
from benchlore.notes import NotEditable, read_note
from benchlore.notes.parts import read_parts, set_body
from benchlore.notes.quoting import Value
from benchlore.writeup.changing import changed_note, changes
from benchlore.writeup.form import (
    CHECK,
    REST,
    SINGLE,
    SYMPTOM,
    TABLES,
    Fields,
    rows_of,
    shown_value,
    typed_value,
    value_at,
    with_value,
)
from shops import REPOSITORY

DEMO = sorted((REPOSITORY / "kb").rglob("*.md"))
PRESENT, CAUTIONS = SYMPTOM[1], REST[0]


def lines_changed(before: bytes, after: bytes) -> tuple[list[str], list[str]]:
    """The lines that are in one of the two only."""
    old, new = before.decode().splitlines(), after.decode().splitlines()
    diff = list(difflib.ndiff(old, new))
    new_matter = ["+ ---"] if not before.startswith(b"---") else []
    diff = [d for d in diff if d not in new_matter]
    return [d[2:] for d in diff if d[0] == "-"], [d[2:] for d in diff if d[0] == "+"]


@pytest.mark.parametrize("file", DEMO, ids=lambda file: file.stem)
def test_a_demo_note_with_one_field_changed_differs_in_that_fields_lines(file: Path) -> None:
    data = file.read_bytes()
    parts = read_parts(data)
    for key, value in (("symptom", "Other words"), ("by", "XY"), ("outcome.after", "9 km")):
        after = with_value(parts.fields, key, value)
        made = changes(parts.fields, after)
        assert len(made) == (after != parts.fields)
        gone, come = lines_changed(data, changed_note(data, made))
        assert len(gone) <= 1 and len(come) <= 1
        assert all(key.partition(".")[0] in line for line in (*gone, *come))
        assert all(str(value) in line for line in come)
    checks = rows_of(parts.fields, "checks")
    if checks:
        new: list[Value] = [*checks[:-1], {**checks[-1], "minutes": "987"}]
        made = changes(parts.fields, {**parts.fields, "checks": new})
        gone, come = lines_changed(data, changed_note(data, made))
        assert come and all("987" in line for line in come) and len(gone) <= 1


@pytest.mark.parametrize("file", DEMO, ids=lambda file: file.stem)
def test_a_demo_note_that_only_passed_through_the_form_is_unchanged(file: Path) -> None:
    fields = read_parts(file.read_bytes()).fields
    after: Fields = dict(fields)
    for field in SINGLE:
        value = value_at(fields, field.key)
        typed = typed_value(field, shown_value(field, value))
        if typed:
            after = with_value(after, field.key, typed)
    for table, columns in TABLES.items():
        rows: list[Value] = []
        for row in rows_of(fields, table):
            typed_row = {c.key: typed_value(c, shown_value(c, row.get(c.key, ""))) for c in columns}
            rows.append({**row, **{key: value for key, value in typed_row.items() if value}})
        if rows:
            after[table] = rows
    assert changes(fields, after) == []


def test_an_added_check_leaves_the_others_alone() -> None:
    data = b"---\nchecks:\n  - check: play # by hand\n    odd: {a: [b]}\n---\nx\n"
    fields = read_parts(data).fields
    rows: list[Value] = [*rows_of(fields, "checks"), {"check": "noise", "found": "rough"}]
    after = changed_note(data, changes(fields, {**fields, "checks": rows}))
    assert after == (
        b"---\nchecks:\n  - check: play # by hand\n    odd: {a: [b]}\n"
        b"  - {check: noise, found: rough}\n---\nx\n"
    )


def test_a_check_taken_out_keeps_what_the_others_say() -> None:
    data = b"---\ncase: 1\nchecks:\n  - check: a\n  - check: b\n    odd: c\n---\n"
    fields = read_parts(data).fields
    rows: list[Value] = list(rows_of(fields, "checks")[1:])
    after = read_parts(changed_note(data, changes(fields, {**fields, "checks": rows}))).fields
    assert after == {"case": "1", "checks": [{"check": "b", "odd": "c"}]}


def test_a_field_emptied_is_empty_when_read_again() -> None:
    data = b"---\nsymptom: hums\npresent: [cold]\n---\n"
    fields = read_parts(data).fields
    after = changed_note(data, changes(fields, {"symptom": "", "present": []}))
    note = read_note("kb/a.md", after)
    assert note.present == () and "hums" not in note.text


@pytest.mark.parametrize(
    ("data", "body", "after"),
    [
        (b"---\r\ncase: 1\r\n---\r\none\r\ntwo\r\n", "one\nnew\ntwo\n",
         b"---\r\ncase: 1\r\n---\r\none\r\nnew\r\ntwo\r\n"),
        (b"one\rtwo", "one\ntwo\nthree", b"one\rtwo\rthree"),
        (b"caf\xe9 cold\nhot\n", "caf\u00e9 cold\nwarm \u00b0C\n", b"caf\xe9 cold\nwarm \xb0C\n"),
        (b"---\ncase: 1\n---\n", "told\n", b"---\ncase: 1\n---\ntold\n"),
        (b"---\ncase: 1\n---\ntold\n", "", b"---\ncase: 1\n---\n"),
        (b"", "told", b"told\n"),
    ],
)  # fmt: skip
def test_a09_the_body_changes_line_by_line(data: bytes, body: str, after: bytes) -> None:
    assert set_body(data, body).rstrip(b"\r\n") == after.rstrip(b"\r\n")


def test_a_body_the_encoding_has_no_letters_for_is_refused() -> None:
    with pytest.raises(NotEditable, match="cp1252"):
        set_body(b"caf\xe9\n", "caf\u00e9 \u2126\n")


def test_a_body_that_would_be_read_as_front_matter_is_refused() -> None:
    with pytest.raises(NotEditable):
        set_body(b"told\n", "---\ncase: 1\n---\n")


BODIES = st.text(st.sampled_from("ab \n\r-#"), max_size=30)


@given(st.sampled_from(["---\ncase: 1\n---\n", ""]), BODIES, BODIES)
def test_a09_any_body_put_in_is_read_back(head: str, old: str, new: str) -> None:
    data = (head + old).encode()
    try:
        changed = set_body(data, new)
    except BenchloreError:
        return
    lines = read_parts(changed).body.rstrip("\n").split("\n")
    assert lines == new.replace("\r\n", "\n").replace("\r", "\n").rstrip("\n").split("\n")
    assert changed.startswith(head.encode())


@pytest.mark.parametrize(
    ("field", "text", "value"),
    [
        (PRESENT, "cold, above 50 km/h,", ["cold", "above 50 km/h"]),
        (PRESENT, "after 60 min, locked; cold", ["after 60 min, locked", "cold"]),
        (PRESENT, "after 60 min, locked;", ["after 60 min, locked"]),
        (CAUTIONS, "hot oil, wear gloves", ["hot oil, wear gloves"]),
        (CAUTIONS, "hot; wait|", ["hot; wait"]),
        (CHECK[0], " play ", "play"),
    ],
)  # fmt: skip
def test_lists_are_parted_by_commas_or_semicolons(field: object, text: str, value: Value) -> None:
    assert typed_value(field, text) == value  # type: ignore[arg-type]
    assert typed_value(field, shown_value(field, value)) == value  # type: ignore[arg-type]


def test_a_machine_or_outcome_in_one_word_is_shown_and_kept() -> None:
    fields: Fields = {"outcome": "fixed", "machine": "Carrier 35"}
    assert value_at(fields, "outcome.result") == "fixed"
    assert value_at(fields, "machine.model") == "Carrier 35"
    assert with_value(fields, "outcome.after", "2 km")["outcome"] == {
        "result": "fixed",
        "after": "2 km",
    }
