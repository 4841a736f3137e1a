"""One case on the desk: saved once, never over somebody else's, never lost with its draft."""

from __future__ import annotations

import datetime
import threading
from pathlib import Path

import pytest

from benchlore.errors import NotWritten
from benchlore.keeping.drafts import DraftKeeper, drafts_of
from benchlore.notes import read_note
from benchlore.notes.edit import NotEditable
from benchlore.notes.parts import Parts, read_parts
from benchlore.notes.writer import MayNotLast
from benchlore.writeup.form import Fields, with_value
from benchlore.writeup.merging import differences, merged
from benchlore.writeup.sitting import ChangedMeanwhile, SavedBut, Sitting

NOTE = (
    "---\ncase: 7\nsymptom: hums\nchecks:\n  - {check: play, found: none}\n"
    "outcome: {result: open}\n---\nTold.\n"
)
NOW = datetime.datetime(2026, 1, 1, 10)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    (tmp_path / "shop" / "kb").mkdir(parents=True)
    (tmp_path / "shop" / "kb" / "a.md").write_text(NOTE)
    return tmp_path / "shop"


def test_saving_twice_writes_one_note(root: Path) -> None:
    sitting = Sitting(root, {})
    threads = [
        threading.Thread(target=sitting.save, args=({"symptom": "squeals"}, "")) for _ in "ab"
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(f.name for f in (root / "kb").iterdir()) == ["a.md", "squeals.md"]
    assert sitting.save({"symptom": "other"}, "") == "kb/squeals.md"


def test_a06_an_older_draft_does_not_undo_what_a_colleague_wrote(root: Path) -> None:
    sitting = Sitting.opened(root, "kb/a.md")
    sitting.keep_draft(with_value(sitting.start.fields, "by", "KM"), sitting.start.body, NOW)
    theirs = NOTE.replace("result: open", "result: fixed, after: 4100 km").replace("Told", "More")
    (root / "kb/a.md").write_text(theirs)
    again = Sitting.going_on(root, drafts_of(root)[0])
    with pytest.raises(ChangedMeanwhile) as told:
        again.save(again.start.fields, again.start.body)
    found = differences(again.base, again.start, told.value.theirs)
    again.start_from(told.value, *merged(told.value.theirs, found, {}))
    again.save(again.start.fields, again.start.body)
    assert (root / "kb/a.md").read_text() == theirs.replace("---\nMore", "by: KM\n---\nMore")
    assert drafts_of(root) == ()


def test_a06_what_both_added_is_put_together() -> None:
    base: Fields = {"checks": [{"check": "a"}], "outcome": {"result": "open"}, "codes": ["P0300"]}
    mine: Fields = {**base, "checks": [{"check": "a"}, {"check": "mine"}],
                    "outcome": {"result": "fixed"}, "codes": []}  # fmt: skip
    theirs: Fields = {**base, "checks": [{"check": "a"}, {"check": "theirs"}],
                      "outcome": {"result": "open", "after": "2 km"},
                      "codes": ["P0301"]}  # fmt: skip
    found = differences(Parts(base, "x"), Parts(mine, "x"), Parts(theirs, "y"))
    fields, body = merged(Parts(theirs, "y"), found, {})
    assert fields["checks"] == [{"check": "a"}, {"check": "theirs"}, {"check": "mine"}]
    assert fields["outcome"] == {"result": "fixed", "after": "2 km"} and body == "y"
    (codes,) = [each for each in found if each.key == "codes"]
    assert codes.both and codes.choices == ("mine", "theirs") and codes.take == "mine"


def test_a_draft_of_a_note_that_is_gone_becomes_a_new_case(root: Path) -> None:
    sitting = Sitting.opened(root, "kb/a.md")
    sitting.keep_draft({**sitting.start.fields, "symptom": "squeals"}, "Told.\n", NOW)
    (root / "kb/a.md").unlink()
    again = Sitting.going_on(root, drafts_of(root)[0])
    assert "new case" in again.notice and again.start.fields["symptom"] == "squeals"
    assert again.save(again.start.fields, again.start.body) == "kb/7-squeals.md"


def test_a_note_deleted_while_it_was_open_is_saved_as_a_new_one_at_the_second_time(
    root: Path,
) -> None:
    sitting = Sitting.opened(root, "kb/a.md")
    (root / "kb/a.md").unlink()
    changed = with_value(sitting.start.fields, "by", "KM")
    with pytest.raises(NotWritten, match="not saved"):
        sitting.save(changed, sitting.start.body)
    assert sitting.save(changed, sitting.start.body) == "kb/7-hums.md"


def test_a03_a_name_that_the_disk_does_not_confirm_is_saved_with_a_warning(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def unsure(*arguments: object) -> str:
        error = MayNotLast("saved, but it may not last: the disk reported an error")
        error.path = "kb/squeals.md"
        raise error

    monkeypatch.setattr("benchlore.writeup.casefile.save_new", unsure)
    sitting = Sitting(root, {})
    sitting.keep_draft({"symptom": "squeals"}, "", NOW)
    with pytest.raises(SavedBut) as told:
        sitting.save({"symptom": "squeals"}, "")
    assert told.value.path == "kb/squeals.md"
    assert len(drafts_of(root)) == 1  # the text is kept as well


def test_a_case_larger_than_what_is_searched_is_refused_before_it_is_written(root: Path) -> None:
    sitting = Sitting(root, {})
    with pytest.raises(NotWritten, match="larger than 256 kB"):
        sitting.save({"symptom": "x"}, "\u00e9" * 200_000)
    assert [f.name for f in (root / "kb").iterdir()] == ["a.md"]


def test_c18_a_note_of_a_newer_format_is_not_opened(root: Path) -> None:
    (root / "kb/new.md").write_text("---\nformat: 2\n---\nx\n")
    with pytest.raises(NotEditable, match="format 2"):
        Sitting.opened(root, "kb/new.md")


def test_keys_spelled_otherwise_are_the_formats_own(root: Path) -> None:
    (root / "kb/b.md").write_text(
        "---\nSymptom: hums\nOutcome:\n  Result: open\n  note: keep\n---\n"
    )
    sitting = Sitting.opened(root, "kb/b.md")
    fields = with_value(sitting.start.fields, "outcome.result", "fixed")
    sitting.save(with_value(fields, "symptom", "squeals"), "")
    text = (root / "kb/b.md").read_text()
    assert text == "---\nSymptom: squeals\nOutcome:\n  Result: fixed\n  note: keep\n---\n"


def test_a_key_of_the_notes_own_named_body_stays(root: Path) -> None:
    (root / "kb/b.md").write_text("---\nsymptom: hums\nbody: saloon\n---\nTold.\n")
    sitting = Sitting.opened(root, "kb/b.md")
    sitting.keep_draft({**sitting.start.fields, "symptom": "squeals"}, sitting.start.body, NOW)
    again = Sitting.going_on(root, drafts_of(root)[0])
    again.save(again.start.fields, again.start.body)
    assert (root / "kb/b.md").read_text() == "---\nsymptom: squeals\nbody: saloon\n---\nTold.\n"


def test_a_draft_with_values_that_no_form_has_is_read_all_the_same(root: Path) -> None:
    DraftKeeper(root).keep({"symptom": "hums", "odd": 3, "checks": [{"check": None}]}, "", NOW)
    assert Sitting.going_on(root, drafts_of(root)[0]).start.fields == {"symptom": "hums"}


def test_a_persons_data_stay_out_of_the_file_name(root: Path) -> None:
    symptom = "hums, tel 07700 900123, says Mr Hollis"
    path = Sitting(root, {}).save({"symptom": symptom}, "")
    assert path == "kb/hums-tel-says-mr.md"
    note = read_note(path, (root / path).read_bytes())
    assert note.symptom is not None and note.symptom.text == symptom
    assert read_parts((root / path).read_bytes()).fields == {"symptom": symptom}
