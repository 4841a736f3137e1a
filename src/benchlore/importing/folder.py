"""A folder of text files, each a note."""

from __future__ import annotations

import os
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from benchlore.errors import UsageError
from benchlore.importing.incoming import Incoming, LeftOut, Source, SourceError
from benchlore.importing.texts import text_note, too_long
from benchlore.index.files import NOTE_ENDINGS, reason
from benchlore.notes.decode import READ_CAP, NotText, decode
from benchlore.shop import NOTE_FOLDERS


def folder_source(folder: Path, shop_root: Path) -> Source:
    """The .md and .txt files in `folder` and the folders below it, hidden ones left out.

    Raises:
        UsageError: notes of the shop itself lie in it, or it lies among them.
        SourceError: it cannot be listed.
    """
    real = Path(os.path.realpath(folder))
    for name in NOTE_FOLDERS:
        notes = Path(os.path.realpath(shop_root / name))
        if notes == real or notes in real.parents or real in notes.parents:
            raise UsageError(
                f"{folder.name or folder} lies among the shop's own notes, or they in it",
                "what is in kb/ and articles/ is found without being imported",
            )
    files, troubles = _listed(real)
    passed = sum(1 for path in files if not path.lower().endswith(NOTE_ENDINGS))
    notes_in = [path for path in files if path.lower().endswith(NOTE_ENDINGS)]
    told = [f"{passed} files that are neither .md nor .txt are passed over"] if passed else []
    total = len(notes_in) + len(troubles)
    return Source(real.name, "files", total, partial(_notes, real, notes_in, troubles), tuple(told))


def one_file(path: Path) -> Incoming | LeftOut:
    """The note that a single file makes."""
    return _note(path, path.name)


def _listed(root: Path) -> tuple[list[str], list[LeftOut]]:
    """Files below `root`, sorted, `/` between their parts; links that lead away are troubles."""
    files: list[str] = []
    troubles: list[LeftOut] = []
    waiting = [""]
    while waiting:
        below = waiting.pop()
        try:
            with os.scandir(root / below) as entries:
                listed = sorted(entries, key=lambda entry: entry.name)
        except OSError as error:
            if not below:
                raise SourceError(f"{root.name} cannot be read: {error.strerror}") from error
            troubles.append(LeftOut(below, reason(error)))
            continue
        for entry in listed:
            path = f"{below}/{entry.name}".lstrip("/")
            if entry.name.startswith("."):
                continue
            if entry.is_symlink():
                troubles.append(LeftOut(path, "a link: import what it leads to"))
            elif entry.is_dir():
                waiting.append(path)
            else:
                files.append(path)
    return sorted(files, key=os.fsencode), troubles


def _notes(root: Path, paths: list[str], troubles: list[LeftOut]) -> Iterator[Incoming | LeftOut]:
    yield from troubles
    for path in paths:
        yield _note(root / path, path)


def _note(path: Path, place: str) -> Incoming | LeftOut:
    try:
        if not path.is_file():
            return LeftOut(place, "not a plain file")
        with path.open("rb") as file:
            data = file.read(READ_CAP + 1)
        if len(data) > READ_CAP:
            return LeftOut(place, too_long())
        decoded = decode(data)
    except OSError as error:
        return LeftOut(place, reason(error))
    except NotText:
        return LeftOut(place, "not text")
    return text_note(place, decoded.text, (path.stem,))
