"""New notes: what is given is what is read back."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from benchlore.notes import read_note
from benchlore.notes.compose import ORDER, compose, filled
from benchlore.notes.frontmatter import read_front_matter
from benchlore.notes.lines import LineIndex
from benchlore.notes.nodes import Node, Scalar, Seq
from benchlore.notes.quoting import Value

FULL: dict[str, Value] = {
    "symptom": "Hums above 50 km/h: louder loaded",
    "case": "2025-0147",
    "machine": {"make": "Halden", "model": "Carrier 35", "year": "2019", "engine": ""},
    "present": ["above 50 km/h", "", "loaded"],
    "absent": [],
    "checks": [
        {"check": "play, right rear", "value": "0.14 mm", "limit": "<= 0.05 mm", "minutes": "15"},
        {"check": "", "found": ""},
    ],
    "causes": [{"part": "wheel bearing", "fault": "raceway pitted", "certainty": "proved"}],
    "outcome": {"result": "open"},
    "job card": "4711",
}


def test_a_note_is_laid_out_in_the_order_of_the_format() -> None:
    assert compose(FULL, "\nAs told by the driver.\n\n").decode() == (
        "---\n"
        "case: 2025-0147\n"
        "machine: {make: Halden, model: Carrier 35, year: 2019}\n"
        'symptom: "Hums above 50 km/h: louder loaded"\n'
        "present: [above 50 km/h, loaded]\n"
        "checks:\n"
        "  - check: play, right rear\n"
        "    value: 0.14 mm\n"
        "    limit: <= 0.05 mm\n"
        "    minutes: 15\n"
        "causes:\n"
        "  - {part: wheel bearing, fault: raceway pitted, certainty: proved}\n"
        "outcome: {result: open}\n"
        "job card: 4711\n"
        "---\n"
        "As told by the driver.\n"
    )


def test_without_fields_the_file_is_its_body() -> None:
    assert compose({"case": " ", "checks": [{}]}, "Hums cold.\n") == b"Hums cold.\n"
    assert compose({}, "") == b""


def test_a_body_that_looks_like_front_matter_stays_the_body() -> None:
    note = read_note("kb/a.md", compose({}, "---\ncase: 1\n---\n"))
    assert note.case == "a" and "case: 1" in note.text


TEXTS = st.text(max_size=40)
VALUES = st.recursive(
    TEXTS, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXTS, inner, max_size=3),
    max_leaves=8,
)  # fmt: skip


def said(node: Node) -> Value:
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Seq):
        return [said(item) for item in node.items]
    return {entry.key.text: said(entry.value) for entry in node.entries}


def writable(value: Value) -> Value:
    """Half of a surrogate pair is no text that a file can hold."""
    if isinstance(value, str):
        return value.encode("utf-8", "replace").decode()
    if isinstance(value, list):
        return [writable(item) for item in value]
    return {writable(name): writable(item) for name, item in value.items()}  # type: ignore[misc]


@settings(max_examples=300, deadline=None)
@given(st.dictionaries(st.sampled_from(ORDER) | TEXTS, VALUES, max_size=5), TEXTS)
def test_any_value_is_read_back_as_it_was_given(fields: dict[str, Value], body: str) -> None:
    text = compose(fields, body).decode()
    matter = read_front_matter(text, LineIndex(text))
    assert matter.whole
    if matter.root is not None:
        assert writable(said(matter.root)) == writable(filled(dict(fields)))
    else:
        assert not filled(dict(fields))
    ends = body.replace("\r\n", "\n").replace("\r", "\n").strip("\n")
    assert not body.strip() or text.endswith(f"{ends}\n")
