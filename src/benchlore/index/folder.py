"""The index folder itself: its lock, the names of its files, and what may be deleted from it."""

from __future__ import annotations

import contextlib
import os
import re
import time
from collections.abc import Iterator
from pathlib import Path

import filelock

from benchlore.errors import Busy, NotWritten, UsageError
from benchlore.index.manifest import MANIFEST, Manifest

LOCK = "lock"
SINCE = "building-since"
WORK_STORE = "building.sqlite"
ENCODED = "encoded.sqlite"
_FIXED = {MANIFEST, LOCK, SINCE, WORK_STORE, ENCODED, f"{ENCODED}-journal"}
_GENERATION = re.compile(r"(store|vectors|encoder|tokenizer)-\d+\.(sqlite|faiss|onnx|json)")
_TEMP = re.compile(r"\.benchlore-.*\.tmp")


def prepare(folder: Path) -> None:
    """Make the index folder if it is missing.

    Raises:
        UsageError: the folder holds files of somebody else and no index, or is a link.
        NotWritten: it cannot be made or written.
    """
    if folder.is_symlink():
        raise UsageError(f"{folder} is a link", "name the folder itself with --index")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        names = [name for name in os.listdir(folder) if not name.startswith(".")]
    except OSError as error:
        raise NotWritten(
            f"{folder}: {error.strerror}", "name another folder with --index"
        ) from error
    strangers = [name for name in names if not _is_ours(name)]
    if strangers and len(strangers) == len(names):
        raise UsageError(
            f"{folder} holds other files ({strangers[0]})", "name an empty folder with --index"
        )
    if not os.access(folder, os.W_OK):
        raise NotWritten(f"{folder} cannot be written", "name another folder with --index")


@contextlib.contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Hold the one writer's place in `folder`. The lock goes with its process, however that ends.

    Raises:
        Busy: another benchlore is building here.
    """
    lock = filelock.FileLock(folder / LOCK)
    try:
        lock.acquire(timeout=0)
    except filelock.Timeout:
        raise Busy(
            f"another build runs since {_since(folder)}", "wait for it, then try again"
        ) from None
    except OSError as error:
        raise NotWritten(
            f"{folder}: {error.strerror}", "name another folder with --index"
        ) from error
    try:
        with contextlib.suppress(OSError):
            (folder / SINCE).write_text(time.strftime("%H:%M"), encoding="ascii")
        yield
    finally:
        with contextlib.suppress(OSError):
            (folder / SINCE).unlink(missing_ok=True)
        lock.release()


def _since(folder: Path) -> str:
    try:
        text = (folder / SINCE).read_text(encoding="ascii")
    except (OSError, UnicodeDecodeError):
        return "just now"
    return text if re.fullmatch(r"\d\d:\d\d", text) else "just now"


def sweep(folder: Path, *keep: Manifest | None) -> None:
    """Delete the files of index generations that none of the manifests in `keep` names."""
    named = {sealed.file for manifest in keep if manifest for sealed in manifest.files()}
    for name in os.listdir(folder):
        stale = _GENERATION.fullmatch(name) and name not in named
        if stale or _TEMP.fullmatch(name) or name == WORK_STORE:
            with contextlib.suppress(OSError):  # on Windows another program may still read it
                (folder / name).unlink()


def _is_ours(name: str) -> bool:
    return name in _FIXED or bool(_GENERATION.fullmatch(name)) or bool(_TEMP.fullmatch(name))
