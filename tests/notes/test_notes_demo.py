"""Every note that the project ships is read without a remark and survives a change."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchlore.notes import read_note, set_field, split_lines

ROOT = next(folder for folder in Path(__file__).resolve().parents if (folder / "src").is_dir())
NOTES = sorted(
    path
    for folder in ("kb", "articles")
    for path in (ROOT / folder).rglob("*")
    if path.suffix in (".md", ".txt")
)


@pytest.mark.parametrize("path", NOTES, ids=lambda path: path.name)
def test_a_shipped_note_is_read_and_one_field_can_be_changed(path: Path) -> None:
    data = path.read_bytes()
    name = path.relative_to(ROOT).as_posix()
    note = read_note(name, data)
    assert note.problems == ()
    assert note.symptom is not None
    before = split_lines(note.text)
    for key in ("symptom", "by"):
        after = split_lines(read_note(name, set_field(data, key, "X: 1")).text)
        old = [number for number, line in enumerate(before) if line.startswith(f"{key}:")]
        new = after.index(f'{key}: "X: 1"\n')
        if old:
            last = note.symptom.lines.last if key == "symptom" else old[0] + 1
            assert (before[: old[0]], before[last:]) == (after[:new], after[new + 1 :])
        elif note.body_line > 1:
            assert before == after[:new] + after[new + 1 :]
        else:
            assert ["---\n", after[new], "---\n", *before] == after
