"""Notes and files that need a look, as data."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from benchlore.index.store import Store


@dataclass(frozen=True, slots=True)
class LookEntry:
    """Something that could not be read as it was meant.

    Attributes:
        path: the file, relative to the shop.
        line, column: 1-based place in it; 0, 0 for a file that was left out as a whole.
        what, todo: what is wrong, and what to do about it.
    """

    path: str
    line: int
    column: int
    what: str
    todo: str

    @property
    def place(self) -> str:
        """`path:line:column`, or the path of a file that was left out."""
        return f"{self.path}:{self.line}:{self.column}" if self.line else self.path


def look_entries(store: Store) -> list[LookEntry]:
    """All of them: files left out first, then problems inside notes, by path and line."""
    out = [LookEntry(each.path, 0, 0, each.what, each.todo) for each in store.troubles()]
    for stored in store.all_notes():
        out.extend(
            LookEntry(stored.note.path, each.line, each.column, each.what, each.todo)
            for each in stored.note.problems
        )
    return out


def file_count(entries: list[LookEntry]) -> int:
    """How many files the entries are about."""
    return len({entry.path for entry in entries})
