"""Writing a file: old or new, whole, and nothing left behind."""

from __future__ import annotations

import errno
import fcntl
import hashlib
import os
import stat
import threading
import time
from pathlib import Path

import pytest

from benchlore.errors import NotWritten
from benchlore.notes import NO_FILE, write_file, writer

OLD, NEW = b"old", b"new\r\n\xff"


def digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


@pytest.fixture
def note(tmp_path: Path) -> Path:
    path = tmp_path / "note.md"
    path.write_bytes(OLD)
    return path


def only(folder: Path) -> list[str]:
    return sorted(os.listdir(folder))


def test_the_file_is_replaced_and_nothing_else_is_there(note: Path) -> None:
    write_file(note, NEW, digest(OLD))
    assert note.read_bytes() == NEW
    assert only(note.parent) == ["note.md"]


def test_a_new_file_is_written(tmp_path: Path) -> None:
    write_file(tmp_path / "a.md", NEW, NO_FILE)
    write_file(tmp_path / "b.md", b"", None)
    assert (tmp_path / "a.md").read_bytes() == NEW
    assert only(tmp_path) == ["a.md", "b.md"]


def test_the_mode_is_kept(note: Path) -> None:
    note.chmod(0o640)
    write_file(note, NEW, None)
    assert stat.S_IMODE(note.stat().st_mode) == 0o640


def test_a06_a_note_changed_since_it_was_opened_is_not_overwritten(note: Path) -> None:
    with pytest.raises(NotWritten, match="changed since you opened it"):
        write_file(note, NEW, digest(b"older"))
    assert note.read_bytes() == OLD
    assert only(note.parent) == ["note.md"]


def test_a06_a_note_deleted_since_it_was_opened_is_named(tmp_path: Path) -> None:
    with pytest.raises(NotWritten, match="was deleted since"):
        write_file(tmp_path / "a.md", NEW, digest(OLD))
    assert only(tmp_path) == []


def test_a07_a_file_of_that_name_is_never_overwritten_by_a_new_one(note: Path) -> None:
    with pytest.raises(NotWritten, match="exists already"):
        write_file(note, NEW, NO_FILE)
    assert note.read_bytes() == OLD
    assert only(note.parent) == ["note.md"]


def test_a07_a_name_taken_at_the_last_moment_is_not_overwritten(
    note: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(writer, "_refuse_changed", lambda *_: None)
    with pytest.raises(NotWritten, match="exists already"):
        write_file(note, NEW, NO_FILE)
    monkeypatch.setattr(os, "link", _failing(errno.EPERM))
    with pytest.raises(NotWritten):
        write_file(note, NEW, NO_FILE)
    assert note.read_bytes() == OLD
    assert only(note.parent) == ["note.md"]


def test_file_systems_without_links_take_new_files(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "link", _failing(errno.EPERM))
    write_file(tmp_path / "a.md", NEW, NO_FILE)
    assert (tmp_path / "a.md").read_bytes() == NEW
    monkeypatch.setattr(os, "replace", _failing(errno.EIO))
    with pytest.raises(NotWritten):
        write_file(tmp_path / "b.md", NEW, NO_FILE)
    assert only(tmp_path) == ["a.md"]


def _failing(number: int) -> object:
    def fail(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number))

    return fail


@pytest.mark.parametrize("call", ["open", "write", "fsync", "replace", "fchmod"])
@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.ENOSPC, "not saved: disk full"),
        (errno.EIO, "not saved: the disk reported an error"),
        (errno.EACCES, "not saved: not allowed"),
        (errno.EROFS, "not saved: the folder is read-only"),
        (errno.EXDEV, "not saved: "),
    ],
)
def test_a02_a03_a04_a_failed_call_leaves_the_old_note_and_no_other_file(
    note: Path, monkeypatch: pytest.MonkeyPatch, call: str, number: int, words: str
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(os, call, _failing(number))
        with pytest.raises(NotWritten, match=words):
            write_file(note, NEW, digest(OLD))
    assert note.read_bytes() == OLD
    assert only(note.parent) == ["note.md"]


def test_a_write_that_takes_only_a_part_is_continued(
    note: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write = os.write
    monkeypatch.setattr(os, "write", lambda descriptor, data: write(descriptor, data[:1]))
    write_file(note, NEW, None)
    assert note.read_bytes() == NEW


def test_ctrl_c_leaves_no_file(note: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_file(note, NEW, None)
    assert only(note.parent) == ["note.md"]


def test_a04_windows_locks_are_tried_again_others_are_not(
    note: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    waits: list[float] = []
    monkeypatch.setattr(time, "sleep", waits.append)
    replace, failures = os.replace, [32, 5, 33]

    def busy(source: str, target: str) -> None:
        if failures:
            error = OSError(errno.EACCES, "in use")
            setattr(error, "winerror", failures.pop())  # noqa: B010  absent outside Windows
            raise error
        replace(source, target)

    monkeypatch.setattr(os, "replace", busy)
    write_file(note, NEW, None)
    assert note.read_bytes() == NEW
    assert len(waits) == 3
    failures.extend([32] * 9)
    with pytest.raises(NotWritten, match="not allowed"):
        write_file(note, OLD, None)
    assert sum(waits[3:]) == 2.5


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    with pytest.raises(NotWritten, match="the folder is not there"):
        write_file(tmp_path / "none" / "a.md", NEW, None)


def test_the_file_is_synced_before_its_name_and_the_folder_after(
    note: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    calls: list[str] = []
    fsync, replace = os.fsync, os.replace

    def sync(descriptor: int) -> None:
        folder = stat.S_ISDIR(os.fstat(descriptor).st_mode)
        calls.append("sync folder" if folder else "sync file")
        fsync(descriptor)

    def rename(source: Path, target: Path) -> None:
        assert source.parent == target.parent
        assert source.name.startswith(".benchlore-")
        assert source.name.endswith(".tmp")
        calls.append("rename")
        replace(source, target)

    monkeypatch.setattr(os, "fsync", sync)
    monkeypatch.setattr(os, "replace", rename)
    write_file(note, NEW, None)
    assert calls == ["sync file", "rename", "sync folder"]


@pytest.mark.parametrize(("number", "told"), [(errno.EINVAL, False), (errno.EIO, True)])
def test_a_folder_that_cannot_be_synced(
    note: Path, monkeypatch: pytest.MonkeyPatch, number: int, told: bool
) -> None:
    fsync = os.fsync

    def sync(descriptor: int) -> None:
        if stat.S_ISDIR(os.fstat(descriptor).st_mode):
            raise OSError(number, os.strerror(number))
        fsync(descriptor)

    monkeypatch.setattr(os, "fsync", sync)
    if told:
        with pytest.raises(NotWritten, match="saved, but it may not last"):
            write_file(note, NEW, None)
    else:
        write_file(note, NEW, None)
    assert note.read_bytes() == NEW


def test_a_system_without_file_modes_writes_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delattr(os, "fchmod")
    write_file(tmp_path / "a.md", b"x", NO_FILE)
    assert (tmp_path / "a.md").read_bytes() == b"x"


def test_a_folder_that_cannot_be_opened_for_syncing_is_no_failure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_file = os.open

    def refuse_folders(path: Path, *arguments: int) -> int:
        if Path(path).is_dir():
            raise PermissionError(errno.EACCES, "no")
        return open_file(path, *arguments)

    monkeypatch.setattr(os, "open", refuse_folders)
    write_file(tmp_path / "a.md", b"x", NO_FILE)
    assert (tmp_path / "a.md").read_bytes() == b"x"


@pytest.mark.parametrize("number", [errno.EPERM, errno.ENOTSUP])
def test_a_share_that_gives_all_files_one_mode_is_written_to(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    monkeypatch.setattr(os, "fchmod", _failing(number))
    write_file(tmp_path / "a.md", b"x", NO_FILE)
    assert (tmp_path / "a.md").read_bytes() == b"x"


def test_a06_of_two_who_replace_the_same_note_at_once_one_is_told(note: Path) -> None:
    rounds, outcomes = 100, []
    for _ in range(rounds):
        note.write_bytes(OLD)
        start = threading.Barrier(2)

        def save(text: bytes, start: threading.Barrier = start) -> None:
            start.wait()
            try:
                write_file(note, text, digest(OLD))
            except NotWritten:
                outcomes.append("told")
            else:
                outcomes.append("saved")

        savers = [threading.Thread(target=save, args=(text,)) for text in (b"one", b"two")]
        for saver in savers:
            saver.start()
        for saver in savers:
            saver.join()
    assert (outcomes.count("saved"), outcomes.count("told")) == (rounds, rounds)


def test_a_saver_that_waits_too_long_for_another_is_told(
    note: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(writer, "_LOCK_WAIT", 0.05)
    folder = os.open(note.parent, os.O_RDONLY)
    fcntl.flock(folder, fcntl.LOCK_EX)
    try:
        with pytest.raises(NotWritten, match="another program is saving"):
            write_file(note, NEW, digest(OLD))
    finally:
        os.close(folder)
    assert note.read_bytes() == OLD and only(note.parent) == ["note.md"]
