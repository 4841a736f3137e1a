"""Saving notes: a new one never takes another's place, a changed one never overwrites a change."""

from __future__ import annotations

import contextlib
import os
import secrets
import time
from pathlib import Path

from benchlore.errors import NotWritten
from benchlore.keeping.names import NOTE_ENDING, same_name
from benchlore.notes.writer import (
    NO_FILE,
    TEMPORARY,
    MayNotLast,
    NameTaken,
    reason,
    write_file,
)
from benchlore.shop import NOTE_FOLDERS

STALE_S = 3600.0
"""Age from which a temporary file is taken for one that a killed program left."""

_MOST_NUMBERS = 999


def save_new(shop_root: Path, folder: str, stem: str, data: bytes) -> str:
    """Write a new note and return its path below the shop, with `/` between its parts.

    Args:
        shop_root: the shop folder.
        folder: where below it: `kb` or `articles`, or a folder in one of them, made if missing.
        stem: the file's name without its ending; where it is taken, also as another spelling of
            capitals or accents, `-2`, `-3` and so on are tried.
        data: the whole file.

    Raises:
        MayNotLast: it is written, under its `path`, but the disk did not confirm its name.
        NotWritten: nothing was written.
    """
    place = _folder(shop_root, folder)
    try:
        place.mkdir(parents=True, exist_ok=True)
        sweep(place)
        taken = {same_name(name) for name in os.listdir(place)}
    except OSError as error:
        raise NotWritten(f"not saved: {reason(error)}") from error
    for number in range(1, _MOST_NUMBERS + 1):
        name = f"{stem}{f'-{number}' if number > 1 else ''}{NOTE_ENDING}"
        if same_name(name) in taken:
            continue
        try:
            write_file(place / name, data, NO_FILE)
        except NameTaken:  # another program was quicker
            continue
        except MayNotLast as unsure:
            unsure.path = f"{folder.strip('/')}/{name}"
            raise
        return f"{folder.strip('/')}/{name}"
    raise NotWritten(
        f"not saved: {_MOST_NUMBERS} notes of that name", "give it another case number"
    )


def save_changed(shop_root: Path, path: str, data: bytes, digest: str) -> None:
    """Replace the note at `path`, which must still be the one with SHA-256 `digest`.

    A link is written through where it leads to a file in the shop.

    Raises:
        NotWritten: nothing was written: the note changed, is gone, leads outside the shop, or the
            disk refuses.
    """
    real = real_place(shop_root, path)
    sweep(real.parent)
    write_file(real, data, digest)


def real_place(shop_root: Path, path: str) -> Path:
    """Where `path` below the shop really lies, links followed.

    Raises:
        NotWritten: outside the shop folder.
    """
    root = os.path.realpath(shop_root)
    real = os.path.realpath(os.path.join(root, path))
    if not real.startswith(root + os.sep):
        raise NotWritten(f"not saved: {path} leads outside the shop folder", "copy the file in")
    return Path(real)


def why_not_writable(shop_root: Path, folder: str = NOTE_FOLDERS[0]) -> str:
    """Why no note can be saved in `folder` below the shop, in a few words; empty where one can.

    It is tried out with an empty hidden file: what a system says of permissions is not always so.
    """
    try:
        place = _folder(shop_root, folder)
        while not place.exists():
            place = place.parent
        trial = place / f"{TEMPORARY}{secrets.token_hex(8)}.tmp"
        os.close(os.open(trial, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
        trial.unlink()
    except OSError as error:
        return reason(error)
    except NotWritten as error:
        return str(error).removeprefix("not saved: ")
    return ""


def sweep(folder: Path) -> None:
    """Remove the temporary files that programs killed more than an hour ago left in `folder`."""
    with contextlib.suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            if entry.name.startswith(TEMPORARY) and entry.name.endswith(".tmp"):
                with contextlib.suppress(OSError):
                    if time.time() - entry.stat(follow_symlinks=False).st_mtime > STALE_S:
                        os.unlink(entry.path)


def _folder(shop_root: Path, folder: str) -> Path:
    """The real place of a folder of notes."""
    if folder.strip("/").split("/")[0] not in NOTE_FOLDERS:
        raise NotWritten(f"not saved: {folder} is no folder of notes", "name one below kb/")
    place = real_place(shop_root, folder)
    names = [os.path.realpath(shop_root / name) for name in NOTE_FOLDERS]
    if not any(str(place) == name or str(place).startswith(name + os.sep) for name in names):
        raise NotWritten(f"not saved: {folder} is no folder of notes", "name one below kb/")
    return place
