"""Reading never fails and changing keeps every other byte, whatever the file holds."""

from __future__ import annotations

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from tests.reliability.fragments import YAML

from benchlore.notes import (
    Block,
    Cause,
    Check,
    Note,
    NotEditable,
    NotText,
    Outcome,
    Route,
    Section,
    Stated,
    Value,
    read_note,
    set_field,
)
from benchlore.notes.lines import split_lines

FRAGMENTS = st.sampled_from(YAML)
SOUP = st.lists(FRAGMENTS, max_size=24).map("".join)
DOCUMENTS = st.one_of(
    SOUP, SOUP.map("---\n{}\n---\nbody".format), SOUP.map("---\nby: KM\n{}\n---\nbody".format)
)
ENCODED = st.tuples(DOCUMENTS, st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"])).map(
    lambda pair: pair[0].encode(pair[1], "replace")
)
Placed = Stated | Check | Cause | Route | Outcome | Section | Block

PATHS = st.sampled_from(["kb/2025/a.md", "articles/a.md", "kb/a.txt", "a", "kb/\udcff.md"])


def ranges(note: Note) -> list[tuple[int, int]]:
    stated = [*note.present, *note.absent, *note.codes, *note.cautions, *note.covers, *note.extra]
    places: list[Placed] = [*stated, *note.checks, *note.causes, *note.routes, *note.sections]
    places += [block for section in note.sections for block in section.blocks]
    places += [place for place in (note.symptom, note.where, note.outcome) if place]
    return [(place.lines.first, place.lines.last) for place in places]


@settings(max_examples=2_000, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(PATHS, ENCODED)
@example("kb/a.md", b"---\n? : -\n---")
def test_reading_never_fails_and_every_place_is_in_the_file(path: str, data: bytes) -> None:
    try:
        note = read_note(path, data)
    except NotText:
        return
    lines = split_lines(note.text)
    count = max(1, len(lines))
    for first, last in ranges(note):
        assert 1 <= first <= last <= count
    for problem in note.problems:
        assert 1 <= problem.line <= count + 1
        assert problem.column >= 1
        assert problem.what
        assert "\n" not in problem.what + problem.todo
    for text in (note.case, note.title, note.by, note.date, note.system):
        text.encode("utf-8", "surrogateescape")


@settings(max_examples=300, deadline=None)
@given(SOUP)
def test_no_word_of_the_front_matter_is_lost(soup: str) -> None:
    note = read_note("kb/a.md", f"---\nby: KM\nbay: {soup}rattle\n---\nbody".encode())
    said = "".join(
        repr(getattr(note, name)) for name in note.__slots__ if name not in ("text", "digest")
    )
    before_comment = soup.split("#")[0].split("\n")[0]
    if before_comment == soup:
        assert "rattle" in said


TEXTS = st.one_of(st.text(max_size=30), st.lists(FRAGMENTS, max_size=5).map("".join)).filter(
    lambda text: not any("\ud800" <= char <= "\udfff" for char in text)
)
LINES = st.lists(
    st.sampled_from(
        ["case: 0147   # card", "by: 'KM'", "machine: {make: Halden, model: Drover}  # van",
        "codes: []",
         "checks:\n  - check: play\n    value: 0.14 mm", "causes:\n- {part: hub}", "# a remark",
         "", "odd key: 5",
         "where: >-\n  from the\n  rear", "note: |+\n  kept\n", 'present: ["a, b", c]',
         "absent: [a,\n  b]"]
    ),
    unique=True,
)  # fmt: skip
ENDS = st.sampled_from(["\n", "\r\n", "\r"])
ENCODINGS = st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-32", "cp1252"])


@settings(max_examples=250, deadline=None)
@given(LINES, LINES, ENDS, ENCODINGS, TEXTS, TEXTS, st.booleans())
def test_setting_a_text_changes_its_line_only_and_can_be_undone(
    before: list[str], after: list[str], end: str, encoding: str, old: str, new: str, last: bool
) -> None:
    after = [line for line in after if line not in before]
    rest = ["---", *before, *after, "---", "# Hum", "5 °C" if last else "5 °C\n"]
    plain = "\n".join(rest).replace("\n", end).encode(encoding)
    if not after:
        data = set_field(plain, "symptom", old)
    else:
        lines = ["---", *before, "symptom: x", *after, *rest[len(before) + len(after) + 1 :]]
        data = set_field("\n".join(lines).replace("\n", end).encode(encoding), "symptom", old)
    changed = set_field(data, "symptom", new)
    symptom = read_note("kb/a.md", changed).symptom
    assert symptom is not None
    assert symptom.text == (new.strip() or "Hum")
    assert set_field(changed, "symptom", old) == data
    was, now = (split_lines(read_note("kb/a.md", each).text) for each in (data, changed))
    assert len(was) == len(now)
    assert sum(one != other for one, other in zip(was, now, strict=True)) <= 1


VALUES = st.recursive(
    TEXTS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(TEXTS.filter(bool), inner, max_size=3)
    ),
    max_leaves=6,
)


@settings(max_examples=150, deadline=None)
@given(LINES, VALUES, VALUES, ENDS)
def test_any_value_can_be_set_and_set_again(
    lines: list[str], first: Value, second: Value, end: str
) -> None:
    data = "\n".join(["---", *lines, "---", "body"]).replace("\n", end).encode()
    for key in ("added", ("checks", 0, "tool"), "case"):
        if key == ("checks", 0, "tool") and not any("checks" in line for line in lines):
            continue
        once = set_field(data, key, first)
        assert set_field(set_field(once, key, second), key, first) == once


@settings(max_examples=300, deadline=None)
@given(ENCODED, TEXTS)
def test_changing_any_file_is_right_or_refused(data: bytes, value: str) -> None:
    try:
        before = read_note("kb/a.md", data)
        after = read_note("kb/a.md", set_field(data, "by", value))
    except (NotText, NotEditable):
        return
    assert after.by == (value if value.strip() else "")
    assert after.front_matter_read
    assert [block.text for section in after.sections for block in section.blocks] == [
        block.text for section in before.sections for block in section.blocks
    ]
    assert after.checks == before.checks or before.body_line != after.body_line
