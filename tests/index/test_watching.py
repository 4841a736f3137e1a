"""Changes on disk are noticed, by the file system's word or by looking."""

from __future__ import annotations

import os
import queue
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from benchlore.index import mounts, watching
from benchlore.index.mounts import is_on_network
from benchlore.index.stored import StoredFile

TOLD_WITHIN_S = 1.5
"""Well below two seconds, on a busy machine."""


class Watched:
    """A shop folder that is being watched in a thread."""

    def __init__(self, root: Path, looking_only: bool) -> None:
        self.root = root
        self._told: queue.Queue[frozenset[str]] = queue.Queue()
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._watch, args=(looking_only,), daemon=True)
        self._thread.start()

    def _watch(self, looking_only: bool) -> None:
        for paths in watching.watch(self.root, self._stop, (), looking_only):
            self._told.put(paths)

    def wait_for(self, *paths: str, seconds: float = TOLD_WITHIN_S + 2) -> float:
        """Seconds until all of `paths` have been told."""
        missing, started = set(paths), time.monotonic()
        while missing:
            left = seconds - (time.monotonic() - started)
            try:
                missing -= self._told.get(timeout=max(left, 0.01))
            except queue.Empty:
                pytest.fail(f"not told of: {missing}")
        return time.monotonic() - started

    def nothing_for(self, seconds: float) -> bool:
        try:
            self._told.get(timeout=seconds)
        except queue.Empty:
            return True
        return False

    def end(self) -> float:
        """Seconds that ending takes."""
        started = time.monotonic()
        self._stop.set()
        self._thread.join(5)
        assert not self._thread.is_alive()
        return time.monotonic() - started


@pytest.fixture(params=[False, True], ids=["told", "looking"])
def watched(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Watched]:
    (tmp_path / "kb/2024").mkdir(parents=True)
    (tmp_path / "articles").mkdir()
    (tmp_path / "kb/old.md").write_text("# Hums\n")
    if not request.param:
        pytest.importorskip("watchfiles")
    watched = Watched(tmp_path, request.param)
    watched.wait_for("kb/old.md")  # it is in no index
    time.sleep(0.4)  # the file system is asked only after that
    yield watched
    watched.end()


def changed(root: Path) -> None:
    (root / "kb/old.md").write_text("# Hums loudly\n")


def made_in_a_folder(root: Path) -> None:
    (root / "kb/2024/new.md").write_text("# New\n")


def saved_by_renaming(root: Path) -> None:
    (root / "kb/.old.md.tmp").write_text("# Hums louder still\n")
    os.replace(root / "kb/.old.md.tmp", root / "kb/old.md")


def removed(root: Path) -> None:
    (root / "kb/old.md").unlink()


def in_a_new_folder(root: Path) -> None:
    (root / "articles/new").mkdir()
    (root / "articles/new/a.TXT").write_text("new")


CHANGES: list[tuple[Callable[[Path], None], str]] = [
    (changed, "kb/old.md"),
    (made_in_a_folder, "kb/2024/new.md"),
    (saved_by_renaming, "kb/old.md"),
    (removed, "kb/old.md"),
    (in_a_new_folder, "articles/new/a.TXT"),
]


@pytest.mark.parametrize(("change", "path"), CHANGES, ids=[c.__name__ for c, _ in CHANGES])
def test_a_change_is_told(watched: Watched, change: Callable[[Path], None], path: str) -> None:
    change(watched.root)
    watched.wait_for(path)


def test_a_folder_that_is_moved_tells_of_the_notes_in_it(watched: Watched, tmp_path: Path) -> None:
    (tmp_path / "kb/2024/a.md").write_text("# A\n")
    watched.wait_for("kb/2024/a.md")
    (tmp_path / "kb/2024").rename(tmp_path / "kb/2025")
    watched.wait_for("kb/2024/a.md", "kb/2025/a.md")


def test_what_is_no_note_is_not_told(watched: Watched) -> None:
    (watched.root / "kb/.hidden.md").write_text("x")
    (watched.root / "kb/picture.jpg").write_bytes(b"x")
    assert watched.nothing_for(1.5)


def test_watching_ends_soon(watched: Watched) -> None:
    assert watched.end() < 1.5


def test_where_no_watch_can_be_had_it_looks(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    watchfiles = pytest.importorskip("watchfiles")

    def refused(*_: object, **__: object) -> None:
        raise OSError(28, "no more watches")  # as when the system's limit is reached

    monkeypatch.setattr(watchfiles, "watch", refused)
    (tmp_path / "kb").mkdir()
    watched = Watched(tmp_path, looking_only=False)
    time.sleep(0.3)
    (tmp_path / "kb/new.md").write_text("# New\n")
    watched.wait_for("kb/new.md")
    watched.end()


def test_folders_that_come_later_are_watched(tmp_path: Path) -> None:
    watched = Watched(tmp_path, looking_only=False)
    time.sleep(0.3)
    (tmp_path / "kb").mkdir()
    (tmp_path / "kb/new.md").write_text("# New\n")
    watched.wait_for("kb/new.md")
    watched.end()


def test_it_begins_with_what_the_index_does_not_have(tmp_path: Path) -> None:
    (tmp_path / "kb").mkdir()
    for name in ("same", "other", "new"):
        (tmp_path / f"kb/{name}.md").write_text(f"# {name}\n")
    info = (tmp_path / "kb/same.md").stat()
    known = [
        StoredFile("kb/same.md", "", info.st_size, info.st_mtime_ns, ""),
        StoredFile("kb/other.md", "", info.st_size, info.st_mtime_ns - 1, ""),
        StoredFile("kb/gone.md", "", 1, 1, ""),
    ]
    stop = threading.Event()
    first = next(watching.watch(tmp_path, stop, known))
    assert first == {"kb/other.md", "kb/new.md", "kb/gone.md"}


TABLE = """\
rootfs / rootfs rw 0 0
/dev/sda1 / ext4 rw,relatime 0 0
proc /proc proc rw 0 0
server:/shop /mnt/shop nfs4 rw,vers=4.2 0 0
//server/our\\040notes /mnt/our\\040notes cifs rw 0 0
/dev/sdb1 /mnt/shop/disk ext4 rw 0 0
someone@host:/ /home/km/far fuse.sshfs rw 0 0
/dev/sdc1 /mnt/stick fuseblk rw 0 0
"""


@pytest.mark.parametrize(
    ("folder", "is_share"),
    [
        ("/home/km/shop", False),
        ("/mnt/shop", True),
        ("/mnt/shop/kb/2024", True),
        ("/mnt/shopping", False),
        ("/mnt/shop/disk/kb", False),
        ("/mnt/our notes/kb", True),
        ("/home/km/far/kb", True),
        ("/mnt/stick", False),
    ],
)
def test_a_share_is_told_by_its_mount(folder: str, is_share: bool) -> None:
    assert is_on_network(Path(folder), TABLE) is is_share


def test_on_a_share_it_looks_and_asks_nothing_of_the_file_system(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    watchfiles = pytest.importorskip("watchfiles")
    table = tmp_path / "mounts"
    table.write_text(f"server:/shop {tmp_path} nfs rw 0 0\n")
    monkeypatch.setattr(mounts, "MOUNTS", table)
    monkeypatch.setattr(watchfiles, "watch", lambda *_, **__: pytest.fail("it was asked"))
    (tmp_path / "kb").mkdir()
    stop = threading.Event()
    told = watching.watch(tmp_path, stop)
    threading.Timer(0.2, (tmp_path / "kb/new.md").write_text, ["# New\n"]).start()
    assert next(told) == {"kb/new.md"}
