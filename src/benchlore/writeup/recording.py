"""An outcome or a comeback put into a case, from one typed line."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from pathlib import Path

from benchlore.errors import ShopError
from benchlore.index.files import read_content, reason
from benchlore.keeping.saving import save_changed
from benchlore.notes import read_note
from benchlore.notes.parts import read_parts
from benchlore.writeup.changing import changed_note, changes
from benchlore.writeup.form import Fields, value_at, with_value
from benchlore.writeup.outcome_line import OutcomeRead, read_outcome


@dataclass(frozen=True, slots=True)
class OutcomeChange:
    """What would be written of an outcome.

    Attributes:
        path: the case's note.
        outcome: as read from the line.
        data: the whole file with it.
        digest: SHA-256 of the file that it was read from.
    """

    path: str
    outcome: OutcomeRead
    data: bytes
    digest: str


def outcome_change(shop_root: Path, path: str, line: str, today: datetime.date) -> OutcomeChange:
    """Read a line such as "fixed, 4100 km" for the case at `path`; nothing is written.

    Raises:
        UsageError: no outcome can be told from the line.
        ShopError: the note cannot be read.
        NotEditable: its front matter cannot be changed safely.
    """
    try:
        content = read_content(shop_root, path)
    except OSError as error:
        raise ShopError(f"{path}: {reason(error)}") from error
    note = read_note(path, content.data, content.size)
    outcome = read_outcome(line, today, note.outcome)
    before = read_parts(content.data).fields
    after: Fields = before
    same = str(value_at(before, "outcome.result")).strip().casefold() == outcome.result
    for name in ("result", "date", "after", "comeback"):
        new = outcome.fields.get(name, "")
        old = value_at(before, f"outcome.{name}")
        # A comeback stays on record; how far it had gone belongs to the result that it was said of.
        keep = name == "comeback" or (name == "after" and same)
        if new or (old and not keep):
            after = with_value(after, f"outcome.{name}", new)
    data = changed_note(content.data, changes(before, after))
    return OutcomeChange(path, outcome, data, note.digest)


def record(shop_root: Path, change: OutcomeChange) -> None:
    """Write what `outcome_change` gave.

    Raises:
        NotWritten: the note changed meanwhile, or the disk refuses.
    """
    save_changed(shop_root, change.path, change.data, change.digest)
