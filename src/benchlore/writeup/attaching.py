"""Files that a note names by a place of this computer are copied beside it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from pathlib import Path

from benchlore.errors import NotWritten
from benchlore.keeping.attachments import attach
from benchlore.keeping.saving import save_changed
from benchlore.notes.parts import read_parts
from benchlore.notes.quoting import Value
from benchlore.writeup.changing import changed_note, changes
from benchlore.writeup.editing import read_whole
from benchlore.writeup.form import with_added


def take_in_files(shop_root: Path, path: str, before: Value) -> None:
    """Copy each file that was added by its full place to the note at `path`; name the copy instead.

    What stood under `files` `before` is left alone: a place that somebody else has written into a
    note is never read.

    A full place begins at the root (`/media/stick/hub.jpg`, `E:/hub.jpg`) or at the user's home
    (`~/hub.jpg`): what lies beside the note is named from there.

    Raises:
        NotWritten: a file could not be copied; the others were.
        NotEditable, ShopError: the note cannot be changed.
    """
    data = read_whole(shop_root, path)
    fields = read_parts(data).fields
    named = fields.get("files", [])
    files = named if isinstance(named, list) else [named]
    known = before if isinstance(before, list) else [before]
    if not any(_elsewhere(each) for each in files if each not in known):
        return
    taken: list[Value] = []
    problem: NotWritten | None = None
    for each in files:
        source = _elsewhere(each) if each not in known else None
        try:
            taken.append(attach(shop_root, path, source) if source else each)
        except NotWritten as error:
            problem = problem or error
            taken.append(each)
    if taken != files:
        changed = changed_note(data, changes(fields, {**fields, "files": taken}))
        save_changed(shop_root, path, changed, hashlib.sha256(data).hexdigest())
    if problem is not None:
        raise problem


def attach_files(shop_root: Path, path: str, sources: Iterable[Path]) -> bool:
    """Copy `sources` beside the note at `path` and list them; True where there were any.

    Raises:
        NotWritten: a file could not be copied, or the note not be written.
        NotEditable, ShopError: the note cannot be changed.
    """
    data = read_whole(shop_root, path)
    fields = read_parts(data).fields
    added: list[Value] = [attach(shop_root, path, source) for source in sources]
    changed = changed_note(data, changes(fields, with_added(fields, "files", added)))
    save_changed(shop_root, path, changed, hashlib.sha256(data).hexdigest())
    return bool(added)


def _elsewhere(named: Value) -> Path | None:
    """The place of a file that is named in full."""
    if not isinstance(named, str) or not named.strip():
        return None
    try:
        place = Path(named.strip()).expanduser()
    except RuntimeError:  # nobody of that name has a home here
        return None
    return place if place.is_absolute() else None
