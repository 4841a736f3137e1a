"""An import that is run again, stopped, killed or refused by the disk: every row once."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections import Counter
from pathlib import Path

import pytest

from benchlore.errors import Busy, NotWritten, UsageError
from benchlore.importing import writing
from benchlore.importing.locking import one_import
from benchlore.importing.writing import checked_folder
from importing.imports import bring_in, bring_in_text, notes_of, only, reasons

MAPPING = '[note]\nsymptom = "Symptom"\n'
ROWS = 120
TABLE = "No,Symptom\n" + "".join(f"{n},Hums in gear {n % 7}\n" for n in range(ROWS))


def rows_in(shop: Path) -> Counter[str]:
    """How often each row number stands in a note."""
    found: Counter[str] = Counter()
    for note in notes_of(shop):
        for said in note.extra:
            if said.text.startswith("columns"):
                found[said.text.rpartition("No: ")[2]] += 1
    return found


def test_twice_adds_nothing(shop: Path) -> None:
    assert bring_in_text(shop, TABLE, MAPPING).taken == ROWS
    before = {note.path: note.digest for note in notes_of(shop)}
    again = bring_in_text(shop, TABLE, MAPPING)
    assert (again.taken, again.already, again.left_out) == (0, ROWS, [])
    assert {note.path: note.digest for note in notes_of(shop)} == before


def test_equal_rows_are_as_many_notes_and_stay_so(shop: Path) -> None:
    table = "S,T\nHums,1\nHums,1\nHums,1\n"
    assert bring_in_text(shop, table, '[note]\nsymptom = "S"\n').taken == 3
    assert bring_in_text(shop, table + "Hums,1\n", '[note]\nsymptom = "S"\n').taken == 1
    assert len(notes_of(shop)) == 4


def test_notes_that_people_edited_renamed_or_moved_are_known(shop: Path) -> None:
    bring_in_text(shop, "Symptom,T\nHums,1\nSqueals,2\nKnocks,3\n", MAPPING)
    hums, knocks, squeals = (shop / note.path for note in notes_of(shop))
    hums.write_text(hums.read_text().replace("symptom: Hums", "symptom: Drones\nsystem: wheels"))
    (shop / "kb" / "mine").mkdir()
    squeals.rename(shop / "kb" / "mine" / "quite another name.txt")
    text = knocks.read_text().replace("\n", "\r\n").replace("imported: ", "imported:   '")
    knocks.write_bytes((text.replace("\r\n---\r\n", "'\r\n---\r\n")).encode("utf-16"))
    again = bring_in_text(shop, "Symptom,T\nHums,1\nSqueals,2\nKnocks,3\n", MAPPING)
    assert (again.taken, again.already) == (0, 3)
    assert "symptom: Drones" in hums.read_text()


def test_a_mark_in_the_body_is_no_mark(shop: Path) -> None:
    bring_in_text(shop, "Symptom,T\nHums,1\n", MAPPING)
    note = shop / only(shop).path
    mark = next(line for line in note.read_text().splitlines() if line.startswith("imported"))
    note.write_text(f"---\nsymptom: other\n---\n{mark}\n")
    assert bring_in_text(shop, "Symptom,T\nHums,1\n", MAPPING).taken == 1


def test_a_file_of_the_same_name_is_never_overwritten(shop: Path) -> None:
    (shop / "kb" / "imported").mkdir()
    (shop / "kb" / "imported" / "hums.md").write_text("mine")
    bring_in_text(shop, "Symptom,T\nHums,1\n", MAPPING)
    assert (shop / "kb" / "imported" / "hums.md").read_text() == "mine"
    assert (shop / "kb" / "imported" / "hums-2.md").is_file()


def test_a_row_that_changed_is_left_to_a_person(shop: Path) -> None:
    keyed = 'key = ["No"]\n' + MAPPING
    bring_in_text(shop, "No,Symptom\n1,Hums\n2,Squeals\n", keyed)
    table = "No,Symptom\n1,Hums loudly\n2,Squeals\n3,Knocks\n3,Bangs\n,Rattles\n"
    again = bring_in_text(shop, table, keyed)
    assert (again.taken, again.already) == (1, 1)
    assert reasons(again) == [
        (
            "line 2",
            "changed since it was imported as kb/imported/hums.md; the note is left as it is",
        ),
        ("line 5", "its key stands on line 4 already"),
        ("line 6", "nothing in No, which is its key"),
    ]  # fmt: skip


def test_stopped_between_two_notes_it_goes_on_from_there(shop: Path) -> None:
    asked = iter([False] * 50 + [True] * 1000)
    path = shop.parent / "orders.csv"
    path.write_text(TABLE)
    result = bring_in(shop, path, MAPPING, stop=lambda: next(asked))
    assert result.stopped and result.taken == 50
    again = bring_in(shop, path, MAPPING)
    assert (again.taken, again.already) == (ROWS - 50, 50)
    assert set(rows_in(shop).values()) == {1} and len(rows_in(shop)) == ROWS


def test_a01_killed_at_any_moment_and_run_again_every_row_is_in_once(shop: Path) -> None:
    path = shop.parent / "orders.csv"
    path.write_text(TABLE)
    mapping = shop.parent / "mapping.toml"
    mapping.write_text(MAPPING)
    command = [sys.executable, "-m", "benchlore", "--shop", str(shop), "import", str(path)]
    command += ["--mapping", str(mapping)]
    killed = 0
    for wanted in (1, 20, 55, 90):
        process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        limit = time.monotonic() + 60
        while len(notes_of_names(shop)) < wanted and process.poll() is None:
            assert time.monotonic() < limit
            time.sleep(0.001)
        os.kill(process.pid, signal.SIGKILL)
        killed += process.wait() == -signal.SIGKILL
    assert killed >= 2, "the kills came too late to show anything"
    done = subprocess.run(command, capture_output=True, check=False, timeout=120)
    assert done.returncode == 0, done.stderr
    assert rows_in(shop) == Counter({str(n): 1 for n in range(ROWS)})


def notes_of_names(shop: Path) -> list[Path]:
    return list((shop / "kb").rglob("*.md"))


def test_a02_disk_full_keeps_what_was_written_and_the_next_run_goes_on(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    save, count = writing.save_new, iter(range(1000))

    def full(*arguments: object) -> str:
        if next(count) == 30:
            raise NotWritten("not saved: disk full", "make room")
        return save(*arguments)  # type: ignore[arg-type]

    monkeypatch.setattr(writing, "save_new", full)
    result = bring_in_text(shop, TABLE, MAPPING)
    assert result.taken == 30 and isinstance(result.failed, NotWritten)
    monkeypatch.undo()
    assert bring_in_text(shop, TABLE, MAPPING).taken == ROWS - 30
    assert set(rows_in(shop).values()) == {1} and len(rows_in(shop)) == ROWS


def test_b05_a_note_that_cannot_be_looked_at_is_named(shop: Path) -> None:
    (shop / "kb" / "pipe.md").symlink_to("/etc/hostname")
    result = bring_in_text(shop, "Symptom,T\nHums,1\n", MAPPING)
    assert [remark.place for remark in result.remarks] == ["kb/pipe.md"]
    assert "may now be in twice" in result.remarks[0].why


def test_a_trial_writes_nothing(shop: Path) -> None:
    path = shop.parent / "orders.csv"
    path.write_text(TABLE)
    result = bring_in(shop, path, MAPPING, trial=True)
    assert (result.taken, len(result.previews), notes_of(shop)) == (ROWS, 3, [])
    assert [each.name for each in (shop / "kb").iterdir()] == []


def test_two_imports_at_once_are_one_too_many(shop: Path) -> None:
    with one_import(shop), pytest.raises(Busy), one_import(shop):
        pass
    with one_import(shop):
        pass


@pytest.mark.parametrize(
    "named",
    ["../x", "/kb/x", "articles", "kb/../..", "index", "", "kb/.x", "kb/a.md", "kb/a:b", "\\kb",
     "kb/x\\..\\..", "kb/a. "],
)  # fmt: skip
def test_b03_no_folder_outside_kb(named: str) -> None:
    with pytest.raises(UsageError):
        checked_folder(named)


def test_b03_a_link_out_of_the_shop_is_not_written_through(shop: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (shop / "kb" / "imported").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(NotWritten, match="nothing imported"):
        bring_in_text(shop, "Symptom,T\nHums,1\n", MAPPING)
    assert list((tmp_path / "elsewhere").iterdir()) == []
