"""Drafts made of front matter."""

from __future__ import annotations

from textwrap import dedent

from benchlore.notes import Note
from benchlore.notes.reader import read_note


def draft(front: str, body: str = "", path: str = "kb/draft.md") -> Note:
    """A note with front matter `front`."""
    return read_note(path, f"---\n{dedent(front).strip()}\n---\n{body}".encode())
