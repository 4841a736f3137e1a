"""One case being written up: what it started from, its draft, and saving it."""

from __future__ import annotations

import datetime
import hashlib
import os
import threading
from collections.abc import Mapping
from pathlib import Path

from benchlore.errors import BenchloreError, NotWritten, ShopError
from benchlore.keeping.drafts import Draft, DraftKeeper
from benchlore.keeping.names import file_stem, same_name
from benchlore.keeping.saving import save_changed
from benchlore.notes.parts import Parts, read_parts, without_blank
from benchlore.notes.quoting import Value
from benchlore.notes.writer import MayNotLast
from benchlore.writeup.attaching import take_in_files
from benchlore.writeup.casefile import refuse_too_large, save_case
from benchlore.writeup.changing import changed_note, changes
from benchlore.writeup.editing import read_whole
from benchlore.writeup.form import Fields, is_blank


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


class SavedBut(NotWritten):
    """The note is saved, but not all is as it should be.

    Attributes:
        path: the note.
    """

    def __init__(self, path: str, why: BenchloreError) -> None:
        super().__init__(f"{path} is saved, but {why}", why.todo)
        self.path = path


class Sitting:
    """A case on the desk. Its methods block: call them in threads; it is saved once.

    Attributes:
        path: the note below the shop; empty while it is new.
        start: what the form is filled with.
        notice: what is to be told at the beginning, may be empty.
    """

    def __init__(self, shop_root: Path, fields: Mapping[str, Value], body: str = "") -> None:
        """A new case; `fields` are filled in beforehand and do not count as typed."""
        self._root = shop_root
        self._base: bytes | None = None
        self.path = ""
        self.notice = ""
        self.start = Parts(dict(fields), body)
        self.base = self.start
        """What the note said when it was opened."""
        self._keeper = DraftKeeper(shop_root)
        self._at_work = threading.Lock()
        self._saved = ""

    @classmethod
    def opened(cls, shop_root: Path, path: str) -> Sitting:
        """The case at `path`, to be changed.

        Raises:
            ShopError: it cannot be read.
            NotEditable, NotText: it cannot be changed field by field.
        """
        sitting = cls(shop_root, {})
        sitting._begin_from(path, read_whole(shop_root, path))
        return sitting

    @classmethod
    def going_on(cls, shop_root: Path, draft: Draft) -> Sitting:
        """What a draft holds. A note that is gone or cannot be changed becomes a new case."""
        sitting = cls(shop_root, {})
        try:
            if draft.path:
                read_whole(shop_root, draft.path)
                sitting._begin_from(draft.path, draft.base)
        except (BenchloreError, ValueError) as error:
            sitting = cls(shop_root, {})
            sitting.notice = (
                f"{draft.path} cannot be changed ({error}): this is saved as a new case"
            )
        sitting.start = Parts(fields_of_draft(draft), draft.body)
        sitting._keeper = DraftKeeper.going_on(draft)
        return sitting

    def _begin_from(self, path: str, data: bytes) -> None:
        self.start = self.base = read_parts(data)
        self.path = path
        self._base = data
        self._keeper = DraftKeeper(self._root, path, data)

    @property
    def draft_file(self) -> Path:
        """Where the draft lies, once there is one."""
        return self._keeper.file

    def is_changed(self, fields: Mapping[str, Value], body: str) -> bool:
        """Whether anything was typed that is not on disk."""
        if without_blank(body) != without_blank(self.base.body):
            return True
        return bool(changes(self.base.fields, fields))

    def keep_draft(self, fields: Mapping[str, Value], body: str, now: datetime.datetime) -> None:
        """Keep what is typed at `now`; nothing once it has been saved.

        Raises:
            NotWritten: no draft can be kept.
        """
        with self._at_work:
            if not self._saved:
                self._keeper.keep(fields, body, now)

    def save(self, fields: Mapping[str, Value], body: str) -> str:
        """Write the note and drop the draft; return its path below the shop.

        A second call writes nothing and returns the same path.

        Raises:
            ChangedMeanwhile: somebody else changed it.
            NotEditable: it cannot be changed safely.
            NotWritten: the disk refuses, nothing has been typed, or the note is gone.
            SavedBut: the note is saved, but something that belongs to it is not.
        """
        with self._at_work:
            if not self._saved:
                self._save(fields, body)
            return self._saved

    def _save(self, fields: Mapping[str, Value], body: str) -> None:
        problem: BenchloreError | None = None
        path = self.path
        try:
            if self._base is None:
                if is_blank(fields, body):
                    raise NotWritten("not saved: nothing has been typed", "fill in a field first")
                path = save_case(self._root, fields, body)
            else:
                self._save_changes(self._base, fields, body)
        except MayNotLast as unsure:
            path, problem = unsure.path or path, unsure
        self._saved = path
        if problem is None:
            self._keeper.drop()
            try:
                take_in_files(self._root, path, self.base.fields.get("files", []))
            except BenchloreError as error:
                problem = error
        if problem is not None:
            raise SavedBut(path, problem)

    def _save_changes(self, base: bytes, fields: Mapping[str, Value], body: str) -> None:
        same_body = without_blank(body) == without_blank(self.base.body)
        data = changed_note(base, changes(self.base.fields, fields), None if same_body else body)
        refuse_too_large(data)
        digest = hashlib.sha256(base).hexdigest()
        try:
            now = read_whole(self._root, self.path)
        except ShopError as error:
            self._base, self.path = None, ""
            self.base = Parts({}, "")
            raise NotWritten(
                f"not saved: {error}", "saving once more makes a new case of it"
            ) from error
        if hashlib.sha256(now).hexdigest() != digest:
            raise ChangedMeanwhile(self.path, now)
        if data == base:
            return
        try:
            save_changed(self._root, self.path, data, digest)
        except MayNotLast:
            raise
        except NotWritten:
            now = read_whole(self._root, self.path)
            if hashlib.sha256(now).hexdigest() == digest:
                raise
            raise ChangedMeanwhile(self.path, now) from None

    def put_in(self, fields: Fields, body: str) -> None:
        """Fill the form with this; what the note said when it was opened stays what it was."""
        self.start = Parts(fields, body)

    def start_from(self, changed: ChangedMeanwhile, fields: Fields, body: str) -> None:
        """Go on from the note as it stands on disk now, with a merged form."""
        before = self._keeper
        self._begin_from(self.path, changed.data)
        self.start = Parts(fields, body)
        self._keeper.file = before.file


def fields_of_draft(draft: Draft) -> Fields:
    """The fields that a draft holds; what has no place in a form is left out."""
    return {key: value for key, value in draft.fields.items() if _is_value(value)}


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
