"""Files named by their full place are copied beside the note; a note's own words never are."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchlore.notes import read_note
from benchlore.writeup.attaching import attach_files
from benchlore.writeup.sitting import SavedBut, Sitting


@pytest.fixture
def root(tmp_path: Path) -> Path:
    (tmp_path / "shop" / "kb").mkdir(parents=True)
    (tmp_path / "stick").mkdir()
    (tmp_path / "stick" / "hub log.txt").write_text("rpm;V\n800;14.1\n")
    return tmp_path / "shop"


def files_of(root: Path, path: str) -> list[str]:
    return [said.text for said in read_note(path, (root / path).read_bytes()).files]


def test_a_file_typed_by_its_full_place_is_copied_when_the_case_is_saved(root: Path) -> None:
    stick = root.parent / "stick" / "hub log.txt"
    sitting = Sitting(root, {})
    path = sitting.save({"symptom": "hums", "files": [str(stick), "drawing.png"]}, "")
    assert files_of(root, path) == ["hums-files/hub-log.txt", "drawing.png"]
    assert (root / "kb/hums-files/hub-log.txt").read_text() == stick.read_text()


def test_b03_a_place_that_stood_in_the_note_before_is_never_read(root: Path) -> None:
    secret = root.parent / "secret.txt"
    secret.write_text("secret")
    (root / "kb" / "a.md").write_text(f"---\nsymptom: hums\nfiles: [{secret}]\n---\n")
    sitting = Sitting.opened(root, "kb/a.md")
    sitting.save({**sitting.start.fields, "symptom": "squeals"}, "")
    assert files_of(root, "kb/a.md") == [str(secret)]
    assert not (root / "kb" / "a-files").exists()


def test_a_file_that_cannot_be_copied_costs_only_itself(root: Path) -> None:
    sitting = Sitting(root, {})
    stick = root.parent / "stick" / "hub log.txt"
    with pytest.raises(SavedBut, match=r"kb/hums.md is saved, but not attached: gone.jpg"):
        sitting.save({"symptom": "hums", "files": ["/nowhere/gone.jpg", str(stick)]}, "")
    assert files_of(root, "kb/hums.md") == ["/nowhere/gone.jpg", "hums-files/hub-log.txt"]


def test_a_file_is_attached_to_a_note_that_is_there(root: Path) -> None:
    (root / "kb" / "a.md").write_text("---\nsymptom: hums # loud\nfiles: [x.png]\n---\nTold.\n")
    assert attach_files(root, "kb/a.md", [root.parent / "stick" / "hub log.txt"])
    assert (root / "kb" / "a.md").read_text() == (
        "---\nsymptom: hums # loud\nfiles: [x.png, a-files/hub-log.txt]\n---\nTold.\n"
    )
