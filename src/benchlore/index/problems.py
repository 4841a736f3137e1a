"""What in the notes needs a look, as the last build found it."""

from __future__ import annotations

from benchlore.index.store import Store
from benchlore.notes.problems import NoteProblem


def all_problems(store: Store) -> list[NoteProblem]:
    """Files that were left out, then problems inside notes, each sorted by file and line."""
    left_out = [NoteProblem(t.path, 0, 0, t.what, t.todo) for t in store.troubles()]
    inside = [
        NoteProblem(stored.note.path, p.line, p.column, p.what, p.todo)
        for stored in store.notes_with_problems()
        for p in stored.note.problems
    ]
    return sorted(left_out, key=lambda p: p.path) + sorted(
        inside, key=lambda p: (p.path, p.line, p.column)
    )
