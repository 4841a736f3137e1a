"""What the evidence compares of a note goes through the index unchanged."""

from __future__ import annotations

from json import dumps

from hypothesis import given
from hypothesis import strategies as st

from benchlore.index.digests import digest_from_json, digest_of, digest_to_json
from benchlore.language.vocabulary import current
from benchlore.notes.reader import read_note
from shops import REPOSITORY


def test_digests_of_the_demo_notes_come_back_as_they_were() -> None:
    for path in sorted((REPOSITORY / "kb").rglob("*.md")):
        digest = digest_of(read_note(path.name, path.read_bytes()), current())
        assert digest_from_json(digest_to_json(digest)) == digest


@given(st.text(max_size=60), st.text(max_size=30), st.text(max_size=20))
def test_any_text_comes_back(part: str, check: str, value: str) -> None:
    front = f"causes: [{{part: {dumps(part)}}}]\n"
    front += f"checks: [{{check: {dumps(check)}, value: {dumps(value)}}}]"
    note = read_note("kb/1.md", f"---\n{front}\n---\n".encode("utf-8", "replace"))
    digest = digest_of(note, current())
    assert digest_from_json(digest_to_json(digest)) == digest
