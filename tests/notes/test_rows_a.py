"""Faults while a note is saved (rows A of the reliability table): the writer itself.

Sizes are those of each submission; `python -m tests.reliability` does the same by the thousand.
"""

from __future__ import annotations

import hashlib
import os
import stat
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.reliability import injecting, kills, refusals, saving

import faults
from benchlore.errors import NotWritten
from benchlore.index.files import list_notes
from benchlore.notes import NO_FILE, NotEditable, NotText, set_field, write_file

KINDS = pytest.mark.parametrize("kind", sorted(saving.KINDS))


@faults.needs_strace("A1")
@KINDS
def test_a01_killed_at_every_system_call_of_a_save(tmp_path: Path, kind: str) -> None:
    counts = kills.at_every_call(kind, tmp_path)
    assert counts["bitten"] == counts["points"] >= 10, "a kill did not fall into the save"
    assert not kills.harmed(kind, counts), counts
    assert all(counts[state] for state in saving.allowed(kind)), "both ends were seen"


@KINDS
def test_a01_killed_at_every_line_of_a_save(tmp_path: Path, kind: str) -> None:
    counts = kills.at_every_line(kind, tmp_path)
    assert counts["points"] >= 30
    assert not kills.harmed(kind, counts), counts


@KINDS
def test_a01_killed_at_random_250_times(tmp_path: Path, kind: str) -> None:
    counts = kills.at_random(kind, tmp_path, 250, seed=20250514)
    assert counts["killed"] == 250
    assert counts["temporary"], "no kill fell into a write"
    assert not kills.harmed(kind, counts), counts


def test_a01_what_a_killed_save_left_is_no_note(tmp_path: Path) -> None:
    kills.at_random("new", tmp_path, 20, seed=1)
    (tmp_path / "kb" / ".benchlore-0123456789abcdef.tmp").write_bytes(saving.NEW)
    listing = list_notes(tmp_path)
    assert {found.path for found in listing.files} <= {saving.NAME}
    assert not listing.troubles


@faults.needs_strace("A2, A3, A4")
def test_a02_a03_a04_every_call_of_a_save_refused_with_every_error(tmp_path: Path) -> None:
    tried = list(refusals.refusals(tmp_path))
    pairs = {(each.call, each.error) for each in tried}
    calls = {"open", "write", "fsync", "rename", "unlink", "link"}
    assert pairs == {(call, error) for call in calls for error in refusals.ERRORS}
    assert [f"{each.where}: {refusals.wrong(each)}" for each in tried if refusals.wrong(each)] == []


@faults.needs_strace("A3")
def test_a03_a_failed_sync_is_not_tried_again(tmp_path: Path) -> None:
    points = kills.points_of_a_save("replaced", tmp_path)
    first = next(point for point in points if point.call == "fsync")
    saving.prepare("replaced", tmp_path)
    ended = injecting.refused_at(first, "EIO", kills.saving_command("save", "replaced", tmp_path))
    assert ended.bitten and ended.code == 5
    assert "not saved: the disk reported an error" in ended.stderr
    assert ended.log.count("fsync(") == 1
    assert saving.state(tmp_path) == "old"
    assert os.listdir(tmp_path / "kb") == [Path(saving.NAME).name], "no temporary file is left"


@pytest.mark.parametrize("expected", [NO_FILE, hashlib.sha256(b"old").hexdigest()])
@pytest.mark.parametrize("options", ["size=64k", "size=64k,nr_inodes=2"])
def test_a02_a_full_disk_leaves_what_was_there(tmp_path: Path, options: str, expected: str) -> None:
    place = tmp_path / "kb"
    with faults.disk("A2", place, options):
        if expected:
            (place / "note.md").write_bytes(b"old")
        if "inodes" in options and not expected:
            (place / "other.md").write_bytes(b"")
        if "inodes" not in options:
            faults.fill(place)
        before = sorted(os.listdir(place))
        with pytest.raises(NotWritten, match="not saved: disk full"):
            write_file(place / "note.md", b"new" * 2000, expected)
        assert sorted(os.listdir(place)) == before
        if expected:
            assert (place / "note.md").read_bytes() == b"old"


def test_a05_a_read_only_disk_is_said_and_nothing_is_left(tmp_path: Path) -> None:
    place = tmp_path / "kb"
    with faults.disk("A5", place, "size=1m"):
        (place / "note.md").write_bytes(b"old")
        faults.read_only("A5", place)
        for expected in (NO_FILE, None):
            name = "other.md" if expected == NO_FILE else "note.md"
            with pytest.raises(NotWritten, match="not saved: the folder is read-only"):
                write_file(place / name, b"new", expected)
        assert os.listdir(place) == ["note.md"]
        assert (place / "note.md").read_bytes() == b"old"


LINES = st.lists(
    st.sampled_from(
        [b"case: 0147   # the card", b"by: 'KM'", b"codes: []", b"# a remark", b"odd key: 5",
         b"machine: {make: Halden, model: Drover}  # van", b"bay:   3", b"present: [cold, wet]",
         b"where: >-\n  from the\n  rear", b"checks:\n  - check: play\n    value: 0.14 mm",
         b"tool: \xc2\xb5m", b""]
    ),
    unique=True,
    max_size=8,
)  # fmt: skip


@settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    above=LINES,
    below=LINES,
    end=st.sampled_from([b"\n", b"\r\n", b"\r"]),
    last=st.booleans(),
    mode=st.sampled_from([0o600, 0o640, 0o644, 0o664, 0o666]),
)
def test_a09_an_edit_on_disk_changes_one_line_and_nothing_else(
    tmp_path: Path, above: list[bytes], below: list[bytes], end: bytes, last: bool, mode: int
) -> None:
    """Unknown keys, comments, order, line ends, a missing last newline and the mode are kept."""
    below = [line for line in below if line not in above]
    head = b"\n".join([b"---", *above, b""]).replace(b"\n", end)
    tail = b"\n".join([b"", *below, b"---", b"# Hum", b"5 \xc2\xb0C"]).replace(b"\n", end)
    tail += end if last else b""
    note = tmp_path / "note.md"
    note.write_bytes(head + b"symptom: Hum" + tail)
    note.chmod(mode)
    before = note.read_bytes()
    changed = set_field(before, "symptom", "Rattle: when cold")
    write_file(note, changed, hashlib.sha256(before).hexdigest())
    assert note.read_bytes() == head + b'symptom: "Rattle: when cold"' + tail
    assert stat.S_IMODE(note.stat().st_mode) == mode
    assert os.listdir(tmp_path) == ["note.md"]


@pytest.mark.parametrize(
    "data", [b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", b"---\na: [\n---\n", b"---\nformat: 2\n---\n"]
)
def test_a09_what_cannot_be_edited_is_not_touched(tmp_path: Path, data: bytes) -> None:
    note = tmp_path / "note.md"
    note.write_bytes(data)
    with pytest.raises((NotEditable, NotText)):
        set_field(note.read_bytes(), "symptom", "Hum")
    assert note.read_bytes() == data


def test_a04_a_name_that_the_system_refuses_is_said(tmp_path: Path) -> None:
    with pytest.raises(NotWritten, match="the file name is too long"):
        write_file(tmp_path / ("x" * 300), b"new", NO_FILE)
    assert not os.listdir(tmp_path)
