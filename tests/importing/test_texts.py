"""Folders of text files, and one long text file of notes."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from benchlore.errors import UsageError
from benchlore.importing.texts import too_long
from benchlore.index.passages import cut
from importing.imports import bring_in, bring_in_text, notes_of, only, reasons


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "old").mkdir()
    return tmp_path / "old"


def test_each_file_of_a_folder_becomes_a_note(shop: Path, folder: Path) -> None:
    (folder / "2019").mkdir()
    (folder / "hum in van.txt").write_text("Hums above 50\n\nBearing.\n")
    (folder / "2019" / "Squeal.MD").write_bytes("# Quietscht\r\nBremse 5°\r\n".encode("cp1252"))
    (folder / "photo.jpg").write_bytes(b"\xff\xd8\xff")
    (folder / ".hidden.md").write_text("not for import")
    result = bring_in(shop, folder)
    assert (result.read, result.taken, result.left_out) == (2, 2, [])
    hum, squeal = notes_of(shop)
    assert (hum.path, squeal.path) == ("kb/imported/hum-in-van.md", "kb/imported/squeal.md")
    assert hum.symptom is not None and hum.symptom.text == "Hums above 50"
    assert squeal.text.endswith("---\n# Quietscht\nBremse 5°\n")
    assert not any("hidden" in note.text for note in notes_of(shop))


def test_front_matter_stays_as_it_is(shop: Path, folder: Path) -> None:
    text = "---\r\n# by hand\r\ncase: '0147'   # the old one\r\nsymptom: Hums\r\n---\r\nMore.\r\n"
    (folder / "a.md").write_bytes(text.encode())
    bring_in(shop, folder)
    note = only(shop)
    assert (note.case, note.problems) == ("0147", ())
    lines = note.text.split("\r\n")
    assert lines[1].startswith("imported: old a.md, key ")
    assert "\r\n".join([lines[0], *lines[2:]]) == text


def test_front_matter_that_is_broken_stays_too(shop: Path, folder: Path) -> None:
    (folder / "a.md").write_text("---\nsymptom: a: b\ncautions: [hot]\n---\nMore.\n")
    assert bring_in(shop, folder).taken == 1
    assert [said.text for said in only(shop).cautions] == ["hot"]
    assert bring_in(shop, folder).already == 1


def test_a_note_out_of_another_shop_gets_a_mark_of_its_own(shop: Path, folder: Path) -> None:
    """Two notes written from one template carry one mark; neither may be taken for the other."""
    head = "---\nimported: x, key 00112233445566778899-00112233\nsymptom: Hums\n---\n"
    (folder / "a.md").write_text(head + "One.\n")
    (folder / "b.md").write_text(head + "Two.\n")
    assert bring_in(shop, folder).taken == 2
    assert bring_in(shop, folder).already == 2
    assert all("imported_before: x, key 0011" in note.text for note in notes_of(shop))
    assert all(note.problems == () for note in notes_of(shop))


def test_files_that_cannot_be_taken_are_named(shop: Path, folder: Path) -> None:
    (folder / "empty.txt").write_text(" \n")
    (folder / "binary.md").write_bytes(bytes(range(256)) * 8)
    (folder / "huge.txt").write_text("x " * 200_000)
    os.mkfifo(folder / "pipe.txt")
    (folder / "away.md").symlink_to("/etc/hostname")
    result = bring_in(shop, folder)
    assert result.taken == 0
    assert reasons(result) == [
        ("away.md", "a link: import what it leads to"),
        ("binary.md", "not text"),
        ("empty.txt", "nothing in it"),
        ("huge.txt", too_long()),
        ("pipe.txt", "not a plain file"),
    ]  # fmt: skip


def test_the_shops_own_notes_are_not_imported_into_it(shop: Path) -> None:
    for place in (shop, shop / "kb", shop.parent):
        with pytest.raises(UsageError, match="own notes"):
            bring_in(shop, place)


@pytest.mark.parametrize("rule", ["---", "***", "=====", "________", "- - -", "~~~~"])
def test_a_notebook_is_cut_at_its_rules(shop: Path, rule: str) -> None:
    text = f"Hums\nbearing\n\n{rule}\nSqueals\n\n{rule}\n\n{rule}\nKnocks\n"
    result = bring_in_text(shop, text, name="book.txt")
    assert (result.taken, result.left_out) == (3, [])
    symptoms = [note.symptom.text for note in notes_of(shop) if note.symptom]
    assert sorted(symptoms) == ["Hums", "Knocks", "Squeals"]
    assert not any(rule in note.text.partition("\n---\n")[2] for note in notes_of(shop))


def test_the_underline_of_a_heading_is_no_border(shop: Path) -> None:
    text = "Hums\n====\nbearing\n\n===\n\nSqueals\n====\npads\n"
    assert bring_in_text(shop, text, name="book.md").taken == 2


def test_rules_of_two_kinds_are_asked_about(shop: Path) -> None:
    text = "Hums\n\n---\nbearing\n\n===\n\nSqueals\n"
    with pytest.raises(UsageError, match=r"--- \(1 times\), === \(1 times\)"):
        bring_in_text(shop, text, name="book.txt")
    assert bring_in_text(shop, text, name="book.txt", split="=====").taken == 2


def test_a_named_rule_also_counts_right_below_a_text(shop: Path) -> None:
    text = "Hums\n---\nSqueals\n---\nKnocks\n"
    assert bring_in_text(shop, text, name="book.txt", split="---").taken == 3


def test_a_named_beginning_is_plain_text_and_stays(shop: Path) -> None:
    text = "My notebook\n\nJob (1) hums\nbearing\nJob (2) squeals\nthe Job (3)\n"
    result = bring_in_text(shop, text, name="book.txt", split="Job (")
    bodies = [note.text.partition("\n---\n")[2] for note in notes_of(shop)]
    assert result.taken == 3
    assert sorted(bodies) == [
        "Job (1) hums\nbearing\n", "Job (2) squeals\nthe Job (3)\n", "My notebook\n",
    ]  # fmt: skip


def test_a_notebook_without_rules_is_one_note(shop: Path) -> None:
    assert bring_in_text(shop, "Hums\n\nbearing\n", name="book.txt").taken == 1


def test_a_note_with_front_matter_is_not_cut_at_its_own_rules(shop: Path) -> None:
    text = "---\nsymptom: Hums\n---\nOne.\n\n***\n\nTwo.\n"
    assert bring_in_text(shop, text, name="a.md").taken == 1
    assert "Two." in only(shop).text


def test_a_part_that_is_too_long_is_named_with_its_line(shop: Path) -> None:
    text = "Hums\n\n---\n\n" + "long line of text\n" * 20_000 + "\n---\nSqueals\n"
    result = bring_in_text(shop, text, name="book.txt")
    assert result.taken == 2
    assert [left.place for left in result.left_out] == ["line 5"]


def test_a_notebook_that_grew_gives_the_new_notes_only(shop: Path) -> None:
    text = "Hums\n\n---\nSqueals\n"
    bring_in_text(shop, text, name="book.txt")
    again = bring_in_text(shop, "Bangs\n\n---\n" + text + "\n---\nKnocks\n", name="book.txt")
    assert (again.taken, again.already) == (2, 2)


def test_b13_a_file_name_that_is_no_utf_8(shop: Path, folder: Path) -> None:
    (Path(os.fsdecode(os.fsencode(folder) + b"/\xff hum.txt"))).write_text("Hums")
    assert bring_in(shop, folder).taken == 1
    assert (only(shop).path, only(shop).problems) == ("kb/imported/hum.md", ())
    assert bring_in(shop, folder).already == 1


def test_where_a_note_came_from_is_not_searched(shop: Path, folder: Path) -> None:
    (folder / "a.md").write_text("---\nimported: from elsewhere\ncolour: red\n---\nHums\n")
    bring_in(shop, folder)
    assert [passage.text for passage in cut(only(shop))] == ["Hums", "colour: red"]
