"""Notes for checks, as texts."""

from __future__ import annotations

import datetime

from benchlore.checking.note_checks import look_at
from benchlore.notes import Problem, read_note

TODAY = datetime.date(2026, 11, 27)
"""The day on which the tests look at notes."""


def looked_at(text: str | bytes, path: str = "kb/a.md") -> tuple[Problem, ...]:
    """What needs a look in a note of that text."""
    return look_at(read_note(path, text.encode() if isinstance(text, str) else text), TODAY)


def front(*lines: str, body: str = "") -> str:
    """A note with `lines` as front matter."""
    return "---\n" + "".join(f"{line}\n" for line in lines) + f"---\n{body}"


def of_check(**fields: str) -> str:
    """A note with one check."""
    rows = [f"    {key}: {value}" for key, value in fields.items()]
    rows[0] = "  - " + rows[0].strip()
    return front("symptom: hums", "checks:", *rows)
