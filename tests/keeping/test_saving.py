"""Saving notes into a shop folder."""

from __future__ import annotations

import hashlib
import multiprocessing
import os
import stat
import time
from multiprocessing.synchronize import Barrier
from pathlib import Path

import pytest

from benchlore.errors import NotWritten
from benchlore.keeping.saving import (
    STALE_S,
    save_changed,
    save_new,
    sweep,
    why_not_writable,
)


@pytest.fixture
def root(tmp_path: Path) -> Path:
    (tmp_path / "shop" / "kb").mkdir(parents=True)
    return tmp_path / "shop"


def digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def test_a_new_note_is_written_into_a_folder_that_is_made(root: Path) -> None:
    assert save_new(root, "kb/2025", "hums", b"x\n") == "kb/2025/hums.md"
    assert (root / "kb/2025/hums.md").read_bytes() == b"x\n"


def test_a07_a_taken_name_gets_a_number(root: Path) -> None:
    names = [save_new(root, "kb", "hums", str(n).encode()) for n in range(3)]
    assert names == ["kb/hums.md", "kb/hums-2.md", "kb/hums-3.md"]
    assert [(root / name).read_text() for name in names] == ["0", "1", "2"]


def test_b12_a_name_that_differs_in_capitals_only_is_taken(root: Path) -> None:
    (root / "kb" / "HUMS.MD").write_text("old")
    assert save_new(root, "kb", "hums", b"x") == "kb/hums-2.md"


def _save(root: Path, barrier: Barrier, name: str, rounds: int) -> None:
    for number in range(rounds):
        barrier.wait(60)
        save_new(root, "kb", f"case-{number}", f"{name} {number}".encode())


def test_a07_two_programs_saving_the_same_case_keep_both(root: Path) -> None:
    rounds = 200
    context = multiprocessing.get_context("fork")
    barrier = context.Barrier(2)
    writers = [context.Process(target=_save, args=(root, barrier, n, rounds)) for n in "ab"]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join(120)
    assert [writer.exitcode for writer in writers] == [0, 0]
    written = sorted(file.read_text() for file in (root / "kb").iterdir())
    assert written == sorted(f"{name} {number}" for name in "ab" for number in range(rounds))
    for number in range(rounds):
        assert {(root / "kb" / f"case-{number}{more}.md").exists() for more in ("", "-2")} == {True}


@pytest.mark.parametrize("folder", ["..", "kb/../..", "/etc", "index", "", "kb/../index", "kbx"])
def test_nothing_is_written_outside_the_folders_of_notes(root: Path, folder: str) -> None:
    (root / "index").mkdir()
    with pytest.raises(NotWritten):
        save_new(root, folder, "x", b"x")
    assert [f for f in root.parent.rglob("*") if f.is_file()] == []


def test_a08_a_folder_that_is_a_link_out_of_the_shop_is_refused(root: Path) -> None:
    outside = root.parent / "outside"
    outside.mkdir()
    (root / "kb" / "away").symlink_to(outside)
    with pytest.raises(NotWritten, match="outside the shop"):
        save_new(root, "kb/away", "x", b"x")
    assert list(outside.iterdir()) == []


def test_a08_a_link_inside_the_shop_is_written_through(root: Path) -> None:
    (root / "kb" / "real.md").write_bytes(b"old")
    (root / "kb" / "link.md").symlink_to("real.md")
    save_changed(root, "kb/link.md", b"new", digest(b"old"))
    assert (root / "kb" / "link.md").is_symlink()
    assert (root / "kb" / "real.md").read_bytes() == b"new"


def test_a08_a_link_that_leads_outside_is_refused(root: Path) -> None:
    target = root.parent / "passwd"
    target.write_bytes(b"old")
    (root / "kb" / "link.md").symlink_to(target)
    with pytest.raises(NotWritten, match="outside the shop"):
        save_changed(root, "kb/link.md", b"new", digest(b"old"))
    assert target.read_bytes() == b"old"


def test_a06_a_note_changed_meanwhile_is_not_overwritten(root: Path) -> None:
    (root / "kb" / "a.md").write_bytes(b"theirs")
    with pytest.raises(NotWritten, match="changed since you opened it"):
        save_changed(root, "kb/a.md", b"mine", digest(b"old"))
    assert (root / "kb" / "a.md").read_bytes() == b"theirs"
    assert [f.name for f in (root / "kb").iterdir()] == ["a.md"]


@pytest.mark.parametrize("mode", [0o770, 0o755, 0o700])
def test_a_new_note_has_the_permissions_of_its_folder(root: Path, mode: int) -> None:
    (root / "kb").chmod(mode)
    before = os.umask(0o077)
    try:
        name = save_new(root, "kb", "x", b"x")
    finally:
        os.umask(before)
    assert stat.S_IMODE((root / name).stat().st_mode) == mode & 0o666


def test_a09_a_changed_note_keeps_its_mode(root: Path) -> None:
    file = root / "kb" / "a.md"
    file.write_bytes(b"old")
    file.chmod(0o640)
    save_changed(root, "kb/a.md", b"new", digest(b"old"))
    assert stat.S_IMODE(file.stat().st_mode) == 0o640


def test_a01_files_of_killed_programs_are_swept_after_an_hour(root: Path) -> None:
    old, new = root / "kb" / ".benchlore-1.tmp", root / "kb" / ".benchlore-2.tmp"
    for file in (old, new):
        file.write_bytes(b"half")
    os.utime(old, (time.time() - STALE_S - 60,) * 2)
    sweep(root / "kb")
    assert [f.name for f in (root / "kb").iterdir()] == [new.name]


def test_a05_a_folder_that_takes_no_notes_says_why(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert why_not_writable(root) == ""
    assert why_not_writable(root, "kb/not/yet") == ""
    assert list((root / "kb").iterdir()) == []

    def refuse(*arguments: object) -> int:
        raise OSError(30, "Read-only file system")

    monkeypatch.setattr(os, "open", refuse)
    assert why_not_writable(root) == "the folder is read-only"
