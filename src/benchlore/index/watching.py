"""Noticing that notes change on disk while the program runs.

Where the file system tells of changes, by its word; where it does not, by looking every second.
Loaded only by a program that stays open: a search must not wait for it.
"""

from __future__ import annotations

import contextlib
import os
import threading
import time
from collections.abc import Iterable, Iterator
from pathlib import Path

from benchlore.index.files import NOTE_ENDINGS, list_notes
from benchlore.index.mounts import is_on_network
from benchlore.index.stored import StoredFile
from benchlore.shop import NOTE_FOLDERS

LOOK_EVERY_S = 1.0
"""Between two looks where the file system tells nothing of changes."""

LOOK_SHARE = 0.1
"""Looking takes at most this share of the time: 10,000 notes on a slow share may take a second."""

CHECK_EVERY_S = 15.0
"""A look also where the file system tells of changes: it does not for what links lead to, and not
for folders made after the start."""

STEP_MS, TOGETHER_MS = 30, 150
"""Changes that come within a step of each other are told together, at most so long after the first
one: an editor makes several for one save."""

_Seen = dict[str, tuple[int, int]]


def watch(
    root: Path,
    stop: threading.Event,
    known: Iterable[StoredFile] = (),
    looking_only: bool | None = None,
) -> Iterator[frozenset[str]]:
    """Yield the paths, relative to the shop at `root`, of notes that were changed, made or removed.

    Begins with those that differ by size or time from `known`, what the index has. Blocks in
    between, and ends soon after `stop` is set. Some paths may not have changed after all.
    `looking_only`: ask nothing of the file system; None: only where the shop is on a network share.
    """
    if looking_only is None:
        looking_only = any(is_on_network(root / name) for name in NOTE_FOLDERS)
    seen = {file.path: (file.size, file.mtime_ns) for file in known}
    notes = _differing(root, seen)
    if notes:
        yield frozenset(notes)
    while not looking_only and not stop.is_set():
        folders = [root / name for name in NOTE_FOLDERS if (root / name).is_dir()]
        if not folders:
            break
        try:
            yield from _told(root, folders, stop, seen)
        except (OSError, RuntimeError, ImportError):
            break  # no more watches to be had, or a folder is gone: look instead
    yield from _looked(root, stop, seen)


def _told(
    root: Path, folders: list[Path], stop: threading.Event, seen: _Seen
) -> Iterator[frozenset[str]]:
    """What the file system tells, until `stop` is set or there are other folders to watch."""
    import watchfiles

    places = [_identity(folder) for folder in folders]
    checked = time.monotonic()
    for events in watchfiles.watch(
        *folders,
        watch_filter=None,
        debounce=TOGETHER_MS,
        step=STEP_MS,
        stop_event=stop,
        rust_timeout=int(CHECK_EVERY_S * 1000),
        yield_on_timeout=True,
        raise_interrupt=False,
    ):
        paths = {os.path.relpath(path, root).replace(os.sep, "/") for _, path in events}
        notes = {path for path in paths if _is_note(path)}
        _see(root, notes, seen)
        # A folder that was moved is told of as one thing, without the notes in it.
        has_folders = any(not _is_note(path) and not _is_hidden(path) for path in paths)
        if has_folders or time.monotonic() - checked >= CHECK_EVERY_S:
            checked = time.monotonic()
            notes |= _differing(root, seen)
        if notes:
            yield frozenset(notes)
        if [_identity(folder) for folder in folders] != places:
            return
        if len(folders) != sum((root / name).is_dir() for name in NOTE_FOLDERS):
            return


def _looked(root: Path, stop: threading.Event, seen: _Seen) -> Iterator[frozenset[str]]:
    """What differs from one look to the next."""
    pause = 0.0
    while not stop.wait(max(pause, LOOK_EVERY_S)):
        started = time.monotonic()
        notes = _differing(root, seen)
        pause = (time.monotonic() - started) / LOOK_SHARE
        if notes:
            yield frozenset(notes)


def _look(root: Path) -> _Seen:
    return {found.path: (found.size, found.mtime_ns) for found in list_notes(root).files}


def _differing(root: Path, seen: _Seen) -> set[str]:
    """The notes that are not as in `seen`, which is brought up to date."""
    now = _look(root)
    paths = {path for path in now.keys() | seen.keys() if now.get(path) != seen.get(path)}
    seen.clear()
    seen.update(now)
    return paths


def _see(root: Path, paths: Iterable[str], seen: _Seen) -> None:
    """Bring `seen` up to date for `paths`."""
    for path in paths:
        try:
            info = os.stat(root / path)
        except OSError:
            seen.pop(path, None)
        else:
            seen[path] = (info.st_size, info.st_mtime_ns)


def _identity(folder: Path) -> tuple[int, int] | None:
    with contextlib.suppress(OSError):
        info = folder.stat()
        return info.st_dev, info.st_ino
    return None


def _is_note(path: str) -> bool:
    return path.lower().endswith(NOTE_ENDINGS) and not _is_hidden(path)


def _is_hidden(path: str) -> bool:
    return any(part.startswith(".") for part in path.split("/"))
