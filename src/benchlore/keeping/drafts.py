"""What is being typed, kept outside the shop until it is a note: a crash must not cost it.

A draft is one JSON file in the user's own state folder. It is never looked at by a build, so it
never counts as a case.
"""

from __future__ import annotations

import contextlib
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
        digest: SHA-256 of that note when it was opened; empty for a new case.
        fields: what was typed, as the form gave it.
        saved_at: seconds since 1970, by this computer's clock.
    """

    file: Path
    shop: str
    path: str
    digest: str
    fields: Mapping[str, Any]
    saved_at: float


def drafts_folder() -> Path:
    """The folder of drafts: BENCHLORE_DRAFTS, else `benchlore/drafts` in the user's state folder.

    The state folder is the system's own (XDG base directory specification on Linux).
    """
    named = os.environ.get(FOLDER_SETTING, "")
    if named:
        return Path(named).expanduser()
    # Imported here: only a write-up needs it.
    from platformdirs import user_state_path

    return user_state_path("benchlore", appauthor=False) / "drafts"


class DraftKeeper:
    """Keeps one draft up to date. Nothing is written before the first `keep`."""

    def __init__(self, shop_root: Path, path: str = "", digest: str = "") -> None:
        """`path` and `digest` as in `Draft`."""
        self._head = {"kind": KIND, "shop": os.fspath(shop_root), "path": path, "digest": digest}
        self.file = drafts_folder() / f"{secrets.token_hex(8)}.json"

    @classmethod
    def going_on(cls, draft: Draft) -> DraftKeeper:
        """Keep on with `draft`, in its file."""
        keeper = cls(Path(draft.shop), draft.path, draft.digest)
        keeper.file = draft.file
        return keeper

    def keep(self, fields: Mapping[str, Any], now: float) -> None:
        """Replace the draft with `fields` as they are at `now`, seconds since 1970.

        Raises:
            NotWritten: no draft can be kept there; the one before is.
        """
        table = {**self._head, "saved_at": now, "fields": dict(fields)}
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
    return tuple(sorted(kept, key=lambda draft: -draft.saved_at))


def _read(file: Path) -> Draft | None:
    try:
        if not file.is_file() or file.stat().st_size > MAX_BYTES:
            return None
        table = json.loads(file.read_bytes())
        if table["kind"] != KIND or not isinstance(table["fields"], dict):
            return None
        shop, path, digest = (table[name] for name in ("shop", "path", "digest"))
        if not all(isinstance(text, str) for text in (shop, path, digest)):
            return None
        return Draft(file, shop, path, digest, table["fields"], float(table["saved_at"]))
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
