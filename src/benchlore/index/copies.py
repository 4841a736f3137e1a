"""Copies of a note: the same bytes in two files, or another version left by a file sync.

A copy is one job told twice: it is shown beside its original and counts once.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

_CONFLICT = re.compile(
    r"(?:\.sync-conflict-\d{8}-\d{6}(?:-[a-z0-9]+)?"
    r"|[ _-]*\([^()]*\bconflict(?:ed)?\b[^()]*\))"
    r"(?=\.[a-z]+\Z)",
    re.I,
)
"""`note.sync-conflict-20250514-101112-ABCDEFG.md`, `note (conflicted copy 2025-05-14).md`: how
programs that sync files name the version that lost (from memory)."""


@dataclass(frozen=True, slots=True)
class Copy:
    """Another file with the same note; `same` is False where its text differs."""

    path: str
    same: bool


def conflict_of(path: str) -> str:
    """The path of the note that `path` is a conflict copy of, by its name; "" for other files."""
    made_of = _CONFLICT.sub("", path)
    return made_of if made_of != path and not made_of.endswith(("/.md", "/.txt")) else ""


def copies_among(files: Mapping[int, tuple[str, str]]) -> dict[int, int]:
    """Which of some notes are copies of another of them.

    `files` has the path and the digest of each note by its number. Returned is the original of each
    copy: the file that the sync left in place, else the one with the shortest name.
    """
    originals: dict[int, int] = {}
    by_path: dict[str, int] = {}
    by_digest: dict[str, int] = {}
    conflicts = {number: conflict_of(path) for number, (path, _) in files.items()}
    for number in sorted(files, key=lambda n: (bool(conflicts[n]), len(files[n][0]), files[n][0])):
        path, digest = files[number]
        home = conflicts[number] or path
        first = by_digest.get(digest, by_path.get(home, number))
        by_path.setdefault(home, first)
        by_digest.setdefault(digest, first)
        if first != number:
            originals[number] = first
    return originals
