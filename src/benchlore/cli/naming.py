"""Which note a command means by a case number or a file."""

from __future__ import annotations

import os
from pathlib import Path

from benchlore.errors import UsageError
from benchlore.index.files import NOTE_ENDINGS
from benchlore.index.opened import open_index
from benchlore.shop import NOTE_FOLDERS, Shop


def path_of(shop: Shop, named: str) -> str:
    """The path below the shop of the note that is named by its case number, its end, or its file.

    Raises:
        UsageError: there is none, there are several, or it lies outside the shop.
        IndexMissing and others: a number was given, and there is no index to look it up in.
    """
    return _as_path(shop, named) or _path_of_case(shop, named)


def _as_path(shop: Shop, named: str) -> str | None:
    """The path below the shop that `named` is, seen from here or from the shop folder."""
    if not named.lower().endswith(NOTE_ENDINGS):
        return None
    for start in (Path.cwd(), shop.root):
        full = os.path.realpath(os.path.join(start, named))
        if os.path.lexists(full):
            relative = os.path.relpath(full, shop.root).replace(os.sep, "/")
            if relative.split("/")[0] not in NOTE_FOLDERS:
                raise UsageError(f"{named} leads outside the shop folder: not opened")
            return relative
    raise UsageError(f"there is no note {named}", "benchlore find finds it by its symptom")


def _path_of_case(shop: Shop, case: str) -> str:
    store = open_index(shop).store
    notes = store.notes_by_case(case) or store.notes_by_case_ending(case)
    paths = sorted(stored.note.path for stored in notes)
    if not paths:
        raise UsageError(f"there is no case {case}", "benchlore find finds it by its symptom")
    if len(paths) > 1:
        raise UsageError(
            f"{len(paths)} notes have case {case}: " + ", ".join(paths), "name the file"
        )
    return paths[0]
