"""One case being written up: what it started from, its draft, and saving it."""

from __future__ import annotations

import hashlib
import os
import threading
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from benchlore.errors import NotWritten
from benchlore.keeping.drafts import Draft, DraftKeeper
from benchlore.keeping.names import file_stem, same_name
from benchlore.keeping.saving import save_changed
from benchlore.notes.parts import Parts, read_parts, without_blank
from benchlore.notes.quoting import Value
from benchlore.writeup.attaching import take_in_files
from benchlore.writeup.casefile import save_case
from benchlore.writeup.changing import changed_note, changes
from benchlore.writeup.editing import read_whole
from benchlore.writeup.form import BODY, Fields, is_blank


class ChangedMeanwhile(NotWritten):
    """The note changed on disk since it was opened. Nothing was written.

    Attributes:
        theirs: the note as it stands on disk now.
        data: its bytes.
    """

    def __init__(self, path: str, data: bytes) -> None:
        super().__init__(f"{path} changed since you opened it", "choose what to keep of each")
        self.data = data
        self.theirs = read_parts(data)


class Sitting:
    """A case on the desk. Its methods block: call them in threads; it is saved once.

    Attributes:
        path: the note below the shop; empty while it is new.
        start: what the form is filled with.
    """

    def __init__(self, shop_root: Path, fields: Mapping[str, Value], body: str = "") -> None:
        """A new case; `fields` are filled in beforehand and do not count as typed."""
        self._root = shop_root
        self._base: bytes | None = None
        self.path = ""
        self.start = Parts(dict(fields), body)
        self._given = self.start
        self._keeper = DraftKeeper(shop_root)
        self._drafting = threading.Lock()
        self._saved = False

    @classmethod
    def opened(cls, shop_root: Path, path: str) -> Sitting:
        """The case at `path`, to be changed.

        Raises:
            ShopError: it cannot be read.
            NotEditable, NotText: it cannot be changed field by field.
        """
        data = read_whole(shop_root, path)
        sitting = cls(shop_root, {})
        sitting._begin_from(path, data)
        return sitting

    @classmethod
    def going_on(cls, shop_root: Path, draft: Draft) -> Sitting:
        """What a draft holds; a note that it changes is compared with the draft when saved."""
        fields, body = parts_of_draft(draft)
        if draft.path:
            sitting = cls.opened(shop_root, draft.path)
            if sitting._digest != draft.digest:
                sitting._expected = draft.digest
        else:
            sitting = cls(shop_root, {})
        sitting.start = Parts(fields, body)
        sitting._keeper = DraftKeeper.going_on(draft)
        return sitting

    def _begin_from(self, path: str, data: bytes) -> None:
        self.path = path
        self._base = data
        self._expected = self._digest
        self.start = self._given = read_parts(data)
        self._keeper = DraftKeeper(self._root, path, self._digest)

    @property
    def _digest(self) -> str:
        return hashlib.sha256(self._base or b"").hexdigest()

    @property
    def draft_file(self) -> Path:
        """Where the draft lies, once there is one."""
        return self._keeper.file

    def is_changed(self, fields: Mapping[str, Value], body: str) -> bool:
        """Whether anything was typed that is not on disk."""
        given = self._given
        if without_blank(body) != without_blank(given.body):
            return True
        return bool(changes(given.fields, fields))

    def keep_draft(self, fields: Mapping[str, Value], body: str, now: float) -> None:
        """Keep what is typed at `now`, seconds since 1970; nothing once it has been saved.

        Raises:
            NotWritten: no draft can be kept.
        """
        with self._drafting:
            if not self._saved:
                self._keeper.keep({**fields, BODY: body}, now)

    def save(self, fields: Mapping[str, Value], body: str) -> str:
        """Write the note and drop the draft; return its path below the shop.

        Raises:
            ChangedMeanwhile: somebody else changed it.
            NotEditable: it cannot be changed safely.
            NotWritten: the disk refuses, or nothing has been typed.
            NotAttached: the note is saved, but a file that it names could not be copied beside it.
        """
        if self._base is None:
            if is_blank(fields, body):
                raise NotWritten("not saved: nothing has been typed", "fill in a field first")
            path = save_case(self._root, fields, body)
        else:
            path = self.path
            self._save_changes(fields, body)
        with self._drafting:
            self._saved = True
            self._keeper.drop()
        take_in_files(self._root, path, self._given.fields.get("files", []))
        return path

    def _save_changes(self, fields: Mapping[str, Value], body: str) -> None:
        assert self._base is not None
        if self._expected != self._digest:  # an older draft: the note has changed since
            raise ChangedMeanwhile(self.path, self._base)
        same_body = without_blank(body) == without_blank(self._given.body)
        made = changes(self._given.fields, fields)
        data = changed_note(self._base, made, None if same_body else body)
        if data == self._base:
            return
        try:
            save_changed(self._root, self.path, data, self._digest)
        except NotWritten:
            now = read_whole(self._root, self.path)
            if hashlib.sha256(now).hexdigest() == self._digest:
                raise
            raise ChangedMeanwhile(self.path, now) from None

    def put_in(self, fields: Fields, body: str) -> None:
        """Fill the form with this; what the note said when it was opened stays what it was."""
        self.start = Parts(fields, body)

    def start_from(self, changed: ChangedMeanwhile, fields: Fields, body: str) -> None:
        """Go on from the note as it stands on disk now, with a merged form."""
        keeper = self._keeper
        self._begin_from(self.path, changed.data)
        keeper.drop()
        self.start = Parts(fields, body)

    @property
    def base(self) -> Parts:
        """What the note said when it was opened."""
        return self._given


def parts_of_draft(draft: Draft) -> tuple[Fields, str]:
    """The fields and the body that a draft holds; what has no place in a form is left out."""
    table: dict[str, Any] = dict(draft.fields)
    body = table.pop(BODY, "")
    fields = {key: value for key, value in table.items() if _is_value(value)}
    return fields, body if isinstance(body, str) else ""


def _is_value(value: object) -> bool:
    if isinstance(value, dict):
        return all(isinstance(key, str) and _is_value(item) for key, item in value.items())
    if isinstance(value, list):
        return all(_is_value(item) for item in value)
    return isinstance(value, str)


def same_number(shop_root: Path, path: str, case: str) -> tuple[str, ...]:
    """Other notes beside `path` whose file name begins with the same case number."""
    if not case.strip():
        return ()
    folder, _, own = path.rpartition("/")
    lead = file_stem(case)
    try:
        names = os.listdir(shop_root / folder)
    except OSError:
        return ()
    others = (
        name for name in names
        if name != own and same_name(name).partition(".")[0].startswith((f"{lead}-", f"{lead}."))
    )  # fmt: skip
    return tuple(f"{folder}/{name}" for name in sorted(others))
