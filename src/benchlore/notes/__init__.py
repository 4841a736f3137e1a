"""Notes: a file's bytes to a Note, and changes back into the bytes.

Reading and writing are imported when they are first asked for: a search needs the dataclasses only,
and must not pay 0.15 s for the parsers of front matter and body.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

from benchlore.notes.lines import LineIndex, split_lines
from benchlore.notes.model import (
    Block,
    Cause,
    Check,
    Extra,
    Kind,
    Lines,
    Machine,
    Note,
    Outcome,
    Problem,
    Route,
    Section,
    Stated,
)
from benchlore.notes.scalars import read_date, read_minutes, read_number, read_yes_no

if TYPE_CHECKING:
    from benchlore.notes.decode import READ_CAP, NotText
    from benchlore.notes.edit import NotEditable, set_field
    from benchlore.notes.quoting import Value
    from benchlore.notes.reader import read_note
    from benchlore.notes.writer import NO_FILE, write_file

_LATER = {
    "READ_CAP": "decode",
    "NotText": "decode",
    "NotEditable": "edit",
    "Value": "quoting",
    "set_field": "edit",
    "read_note": "reader",
    "NO_FILE": "writer",
    "write_file": "writer",
}


def __getattr__(name: str) -> Any:  # noqa: ANN401
    if name in _LATER:
        return getattr(importlib.import_module(f"benchlore.notes.{_LATER[name]}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


__all__ = [
    "NO_FILE",
    "READ_CAP",
    "Block",
    "Cause",
    "Check",
    "Extra",
    "Kind",
    "LineIndex",
    "Lines",
    "Machine",
    "NotEditable",
    "NotText",
    "Note",
    "Outcome",
    "Problem",
    "Route",
    "Section",
    "Stated",
    "Value",
    "read_date",
    "read_minutes",
    "read_note",
    "read_number",
    "read_yes_no",
    "set_field",
    "split_lines",
    "write_file",
]
