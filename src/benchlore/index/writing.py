"""Making a new store: a copy of the one in force, with changed notes replaced."""

from __future__ import annotations

import hashlib
import os
import sqlite3
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from benchlore.index.cards import note_to_json
from benchlore.index.encoder import Vectors
from benchlore.index.files import Content, Trouble
from benchlore.index.passages import Passage
from benchlore.index.rows import comparable, comparable_code, passage_vectors, storable
from benchlore.index.schema import STORE_SCHEMA
from benchlore.language import fold, note_tokens
from benchlore.notes import Note
from benchlore.notes.scalars import read_date


@dataclass(frozen=True, slots=True)
class ReadNote:
    """A note that was read, with its passages, ready to be stored."""

    note: Note
    content: Content
    passages: tuple[Passage, ...]


def text_hash(text: str) -> bytes:
    """The key of a text's vector: 16 bytes of its SHA-256."""
    return hashlib.sha256(text.encode("utf-8", "replace")).digest()[:16]


class StoreWriter:
    """A store that is being made. Nobody reads it before it is sealed; use it in a `with`."""

    def __init__(self, path: Path) -> None:
        is_new = not path.exists()
        self._db = sqlite3.connect(path)
        self._db.execute("PRAGMA foreign_keys = ON")
        # The file becomes part of the index only when it is whole, so it needs no journal.
        self._db.execute("PRAGMA journal_mode = OFF")
        self._db.execute("PRAGMA synchronous = OFF")
        self._db.execute("PRAGMA cache_size = -65536")
        if is_new:
            self._db.executescript(STORE_SCHEMA)

    def __enter__(self) -> StoreWriter:
        return self

    def __exit__(self, *error: object) -> None:
        self._db.commit()
        self._db.close()

    def forget(self, paths: Iterable[str]) -> None:
        """Remove the notes at `paths` with all their passages."""
        self._db.executemany(
            "DELETE FROM notes WHERE path = ?", [(os.fsencode(path),) for path in paths]
        )

    def keep_unread(self, path: str, why: str) -> None:
        """Mark the stored note at `path` as not read again."""
        self._db.execute("UPDATE notes SET unread = ? WHERE path = ?", (why, os.fsencode(path)))

    def add(self, read: ReadNote) -> None:
        """Store a note in place of the one with its path, if any."""
        note, content = read.note, read.content
        self.forget([note.path])
        day = read_date(note.date)
        cursor = self._db.execute(
            "INSERT INTO notes (path, kind, digest, size, mtime_ns, case_no, system, make, engine,"
            " day, unread, card) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, '', ?)",
            (
                os.fsencode(note.path),
                note.kind,
                content.digest,
                content.size,
                content.mtime_ns,
                storable(note.case),
                comparable(note.system),
                comparable(note.machine.make),
                comparable_code(note.machine.engine),
                day.isoformat() if day else "",
                note_to_json(note),
            ),
        )
        number = cursor.lastrowid
        assert number is not None
        for passage in read.passages:
            self._add_passage(number, passage)

    def _add_passage(self, note: int, passage: Passage) -> None:
        text = storable(passage.text)
        cursor = self._db.execute(
            "INSERT INTO passages (note, kind, first_line, last_line, text, words, hash)"
            " VALUES (?, ?, ?, ?, ?, ?, ?)",
            (
                note,
                passage.kind,
                passage.first_line,
                passage.last_line,
                text,
                " ".join(fold(text)),
                text_hash(text),
            ),
        )
        self._db.executemany(
            "INSERT INTO tokens (token, passage) VALUES (?, ?)",
            [(token, cursor.lastrowid) for token in sorted(note_tokens(text))],
        )

    def set_troubles(self, troubles: Iterable[Trouble]) -> None:
        self._db.execute("DELETE FROM troubles")
        self._db.executemany(
            "INSERT INTO troubles (path, what, todo) VALUES (?, ?, ?)",
            [(os.fsencode(t.path), t.what, t.todo) for t in troubles],
        )

    def texts_without_vector(self) -> list[tuple[bytes, str]]:
        """Return (hash, text) of every distinct text that has no vector yet, in note order."""
        return self._db.execute(
            "SELECT hash, text FROM passages WHERE hash NOT IN (SELECT hash FROM vectors)"
            " GROUP BY hash ORDER BY min(id)"
        ).fetchall()

    def add_vectors(self, vectors: Iterable[tuple[bytes, bytes]]) -> None:
        self._db.executemany("INSERT OR REPLACE INTO vectors (hash, vector) VALUES (?, ?)", vectors)

    def drop_vectors(self) -> None:
        """Remove all vectors: they are of another model."""
        self._db.execute("DELETE FROM vectors")

    def drop_unused_vectors(self) -> None:
        """Remove the vectors of texts that no passage has any more."""
        self._db.execute("DELETE FROM vectors WHERE hash NOT IN (SELECT hash FROM passages)")

    def passage_vectors(self, above: int = 0) -> Iterator[tuple[list[int], Vectors]]:
        """Yield the passages numbered above `above` with their vectors, in pieces."""
        yield from passage_vectors(self._db, above)

    def note_count(self) -> int:
        return int(self._db.execute("SELECT count(*) FROM notes").fetchone()[0])

    def passage_count(self, above: int = 0) -> int:
        """How many passages are numbered above `above`."""
        row = self._db.execute("SELECT count(*) FROM passages WHERE id > ?", (above,)).fetchone()
        return int(row[0])
