"""What is being typed, kept outside the shop until it is a note: a crash must not cost it.

A draft is one JSON file in the user's own state folder. It is never looked at by a build, so it
never counts as a case.
"""

from __future__ import annotations

import base64
import contextlib
import datetime
import json
import os
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from benchlore.errors import NotWritten
from benchlore.notes.writer import write_file

KIND = "benchlore draft"
FOLDER_SETTING = "BENCHLORE_DRAFTS"
MAX_BYTES = 4_000_000
"""A larger file is no draft of ours."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A write-up that was not saved.

    Attributes:
        file: where it lies.
        shop: the shop folder that it is for, absolute.
        path: the note that was open, below the shop; empty for a new case.
        base: that note's bytes when it was opened; empty for a new case.
        fields: what was typed, as the form gave it.
        body: the free text.
        saved_at: when, by this computer's clock.
    """

    file: Path
    shop: str
    path: str
    base: bytes
    fields: Mapping[str, Any]
    body: str
    saved_at: datetime.datetime


def drafts_folder() -> Path:
    """The folder of drafts: BENCHLORE_DRAFTS, else `benchlore/drafts` in the user's state folder.

    The state folder is the system's own (XDG base directory specification on Linux).
    """
    named = os.environ.get(FOLDER_SETTING, "")
    if named:
        try:
            return Path(named).expanduser()
        except RuntimeError:  # nobody of that name has a home here
            return Path(named)
    # Imported here: only a write-up needs it.
    from platformdirs import user_state_path

    return user_state_path("benchlore", appauthor=False) / "drafts"


class DraftKeeper:
    """Keeps one draft up to date. Nothing is written before the first `keep`."""

    def __init__(self, shop_root: Path, path: str = "", base: bytes = b"") -> None:
        """`path` and `base` as in `Draft`."""
        kept = base64.b64encode(base).decode()
        self._head = {"kind": KIND, "shop": os.fspath(shop_root), "path": path, "base": kept}
        self.file = drafts_folder() / f"{secrets.token_hex(8)}.json"

    @classmethod
    def going_on(cls, draft: Draft) -> DraftKeeper:
        """Keep on with `draft`, in its file."""
        keeper = cls(Path(draft.shop), draft.path, draft.base)
        keeper.file = draft.file
        return keeper

    def keep(self, fields: Mapping[str, Any], body: str, now: datetime.datetime) -> None:
        """Replace the draft with what is typed at `now`.

        Raises:
            NotWritten: no draft can be kept there; the one before is.
        """
        table = {
            **self._head,
            "saved_at": now.isoformat(),
            "fields": dict(fields),
            "body": body,
        }
        try:
            self.file.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        except OSError as error:
            raise NotWritten(
                f"no draft can be kept in {self.file.parent}: {error.strerror}",
                f"save often, or name another folder in {FOLDER_SETTING}",
            ) from error
        write_file(self.file, json.dumps(table).encode(), None)

    def drop(self) -> None:
        """Remove the draft: it has become a note, or is not wanted."""
        with contextlib.suppress(OSError):
            self.file.unlink()


def drafts_of(shop_root: Path) -> tuple[Draft, ...]:
    """The drafts for the shop at `shop_root`, the newest first; what is no draft is passed over."""
    try:
        files = [file for file in drafts_folder().iterdir() if file.suffix == ".json"]
    except OSError:
        return ()
    drafts = [draft for file in files if (draft := _read(file)) is not None]
    kept = [draft for draft in drafts if draft.shop == os.fspath(shop_root)]
    return tuple(sorted(kept, key=lambda draft: draft.saved_at, reverse=True))


def _read(file: Path) -> Draft | None:
    try:
        if not file.is_file() or file.stat().st_size > MAX_BYTES:
            return None
        table = json.loads(file.read_bytes())
        texts = [table[name] for name in ("shop", "path", "base", "body", "saved_at")]
        if table["kind"] != KIND or not isinstance(table["fields"], dict):
            return None
        if not all(isinstance(text, str) for text in texts):
            return None
        shop, path, base, body, saved_at = texts
        if "\0" in path:
            return None
        when = datetime.datetime.fromisoformat(saved_at)
        return Draft(file, shop, path, base64.b64decode(base), table["fields"], body, when)
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
