"""A note that is there, changed: in the user's editor, or field by field."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Iterable
from pathlib import Path

from benchlore.errors import NotWritten, ShopError, UsageError
from benchlore.index.files import MAX_BYTES, read_content, reason
from benchlore.keeping.drafts import drafts_folder
from benchlore.keeping.editor import edit_file, editor_command
from benchlore.keeping.saving import save_changed
from benchlore.notes.parts import read_parts
from benchlore.notes.writer import write_file
from benchlore.writeup.changing import changed_note, changes
from benchlore.writeup.form import SINGLE, typed_value, with_value


def read_whole(shop_root: Path, path: str) -> bytes:
    """The bytes of the note at `path`.

    Raises:
        ShopError: it cannot be read, or is larger than what benchlore changes.
    """
    try:
        content = read_content(shop_root, path)
    except OSError as error:
        raise ShopError(f"{path}: {reason(error)}") from error
    if content.size > len(content.data):
        raise ShopError(f"{path} is larger than {MAX_BYTES // 1024} kB", "change it by hand")
    return content.data


def set_one_field(shop_root: Path, path: str, typed: Iterable[tuple[str, str]]) -> bool:
    """Set fields by their names in the form (`by`, `outcome.after`); False if nothing changed.

    Raises:
        UsageError: there is no such field.
        NotEditable: the front matter cannot be changed safely.
        ShopError, NotWritten: the note cannot be read or written.
    """
    data = read_whole(shop_root, path)
    before = read_parts(data).fields
    after = before
    for name, text in typed:
        field = next((field for field in SINGLE if name in (field.key, field.label)), None)
        if field is None:
            known = ", ".join(field.key for field in SINGLE)
            raise UsageError(f"there is no field {name}", f"one of {known}")
        after = with_value(after, field.key, typed_value(field, text))
    changed = changed_note(data, changes(before, after))
    if changed == data:
        return False
    save_changed(shop_root, path, changed, hashlib.sha256(data).hexdigest())
    return True


def edit_in_editor(shop_root: Path, path: str) -> bool:
    """Let the user edit a copy of the note, then put it in the note's place; False if unchanged.

    Raises:
        NoEditor: there is none, or it failed.
        NotWritten: the note changed meanwhile, or the disk refuses; the copy is kept and named.
        ShopError: the note cannot be read.
    """
    data = read_whole(shop_root, path)
    command = editor_command()
    copy = working_copy(Path(path).name, data)
    edit_file(command, copy)
    edited = edited_bytes(copy)
    if len(edited) > MAX_BYTES or not edited.strip():
        what = "empty" if not edited.strip() else f"larger than {MAX_BYTES // 1024} kB"
        raise NotWritten(f"not saved: the text is {what}", f"it is kept in {copy}")
    if edited != data:
        try:
            save_changed(shop_root, path, edited, hashlib.sha256(data).hexdigest())
        except NotWritten as error:
            raise NotWritten(str(error), f"your text is kept in {copy}") from error
    copy.unlink(missing_ok=True)
    return edited != data


def edited_bytes(copy: Path) -> bytes:
    """What an editor left in `copy`.

    Raises:
        NotWritten: it is gone or cannot be read.
    """
    try:
        with copy.open("rb") as file:
            return file.read(MAX_BYTES + 1)
    except OSError as error:
        raise NotWritten(
            f"not saved: {copy} cannot be read: {error.strerror}", "the note is as it was"
        ) from error


def working_copy(name: str, data: bytes) -> Path:
    """A copy for an editor, among the drafts, so that it outlives whatever goes wrong.

    Raises:
        NotWritten: no file can be made there.
    """
    folder = drafts_folder()
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError as error:
        raise NotWritten(f"no copy can be made in {folder}: {error.strerror}") from error
    copy = folder / f"{secrets.token_hex(4)}-{name}"
    write_file(copy, data, None)
    return copy
