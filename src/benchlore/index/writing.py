"""Making a new store: a copy of the one in force, with changed notes replaced."""

from __future__ import annotations

import hashlib
import os
import sqlite3
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from benchlore.index.cards import note_to_json
from benchlore.index.digests import (
    Digest,
    cause_to_json,
    digest_of,
    digest_to_json,
    nouns_of,
)
from benchlore.index.encoder import Vectors
from benchlore.index.files import Content, Trouble
from benchlore.index.machines import machine_facts
from benchlore.index.meaning import Meaning, meaning_of
from benchlore.index.note_vectors import add_note_vectors
from benchlore.index.oddities import with_oddities
from benchlore.index.passages import Passage
from benchlore.index.postings import PostingsWriter
from benchlore.index.rows import comparable, comparable_code, passage_vectors, storable
from benchlore.index.schema import STORE_SCHEMA
from benchlore.index.store import Store
from benchlore.language import note_tokens
from benchlore.language.search_words import part_words, search_words
from benchlore.language.vocabulary import Vocabulary
from benchlore.notes import Note
from benchlore.notes.scalars import read_date


@dataclass(frozen=True, slots=True)
class ReadNote:
    """A note that was read, with its passages, ready to be stored."""

    note: Note
    content: Content
    passages: tuple[Passage, ...]


NO_VECTOR = "passages that the sentence model could not read"
BY_WORDS = "found by its words only; write the passage in other words"
"""What is said of a note with passages without a vector."""


def text_hash(text: str) -> bytes:
    """The key of a text's vector: 16 bytes of its SHA-256."""
    return hashlib.sha256(text.encode("utf-8", "replace")).digest()[:16]


class StoreWriter:
    """A store that is being made. Nobody reads it before it is sealed; use it in a `with`.

    `vocabulary` is what notes are read and folded with.
    """

    def __init__(self, path: Path, vocabulary: Vocabulary) -> None:
        is_new = not path.exists()
        self._write_to(sqlite3.connect(path), vocabulary, is_new)

    @classmethod
    def in_memory(cls, base: Store, before: Store | None, vocabulary: Vocabulary) -> StoreWriter:
        """A new store in memory: `before`, or empty; its numbers follow those of `base`."""
        db = sqlite3.connect(":memory:", check_same_thread=False)
        if before is not None:
            before.copy_into(db)
        writer = cls.__new__(cls)
        writer._write_to(db, vocabulary, is_new=before is None)
        if before is None:
            names = ("notes", "passages")
            rows = zip(names, base.newest(), strict=True)
            db.executemany("INSERT INTO sqlite_sequence (name, seq) VALUES (?, ?)", rows)
        return writer

    def store(self) -> Store:
        """What was written, to be read; nothing may be written after that."""
        self._db.commit()
        return Store.over(self._db)

    def _write_to(self, db: sqlite3.Connection, vocabulary: Vocabulary, is_new: bool) -> None:
        self._vocabulary = vocabulary
        self._db = db
        self._db.execute("PRAGMA foreign_keys = ON")
        # The file becomes part of the index only when it is whole, so it needs no journal.
        self._db.execute("PRAGMA journal_mode = OFF")
        self._db.execute("PRAGMA synchronous = OFF")
        self._db.execute("PRAGMA cache_size = -65536")
        self._postings = PostingsWriter(self._db)
        if is_new:
            self._db.executescript(STORE_SCHEMA)

    def __enter__(self) -> StoreWriter:
        return self

    def __exit__(self, *error: object) -> None:
        self._db.commit()
        self._db.close()

    def forget(self, paths: Iterable[str]) -> None:
        """Remove the notes at `paths` with all that is kept of them."""
        for path in paths:
            row = self._db.execute(
                "SELECT id FROM notes WHERE path = ?", (os.fsencode(path),)
            ).fetchone()
            if row is None:
                continue
            held = self._db.execute("SELECT words FROM passages WHERE note = ?", row)
            self._postings.remove(row[0], (word for (words,) in held for word in words.split(" ")))
            self._db.execute("DELETE FROM notes WHERE id = ?", row)

    def keep_unread(self, path: str, why: str) -> None:
        """Mark the stored note at `path` as not read again."""
        self._db.execute("UPDATE notes SET unread = ? WHERE path = ?", (why, os.fsencode(path)))

    def add(self, read: ReadNote) -> None:
        """Store a note in place of the one with its path, if any."""
        self.forget([read.note.path])
        words = [self._words(passage) for passage in read.passages]
        digest = digest_of(read.note, self._vocabulary)
        number = self._add_note(read, sum(map(len, words)), digest)
        for passage, said in zip(read.passages, words, strict=True):
            self._add_passage(number, passage, said)
        counts = Counter(word for said in words for word in said)
        self._postings.add(number, counts)
        self._add_meaning(number, meaning_of(read.note, self._vocabulary))
        self._add_digest(number, read.note, digest)

    def _words(self, passage: Passage) -> list[str]:
        text = passage.text
        return search_words(text, self._vocabulary) + part_words(text, self._vocabulary)

    def _add_note(self, read: ReadNote, length: int, digest: Digest) -> int:
        note, content = read.note, read.content
        facts = machine_facts(note.machine)
        day = read_date(note.date)
        cursor = self._db.execute(
            "INSERT INTO notes (path, kind, digest, size, mtime_ns, case_no, system, make, model,"
            " engine, year, distance, hours, diagnosed, day, length, unread, card)"
            " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, '', ?)",
            (
                os.fsencode(note.path),
                note.kind,
                content.digest,
                content.size,
                content.mtime_ns,
                storable(note.case),
                comparable(note.system),
                comparable(note.machine.make),
                comparable(note.machine.model),
                comparable_code(note.machine.engine),
                facts.year,
                facts.distance,
                facts.hours,
                any(cause.known for cause in digest.causes),
                day.isoformat() if day else "",
                length,
                note_to_json(with_oddities(note)),
            ),
        )
        number = cursor.lastrowid
        assert number is not None
        return number

    def _add_passage(self, note: int, passage: Passage, words: Iterable[str]) -> None:
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
                " ".join(words),
                text_hash(text),
            ),
        )
        self._db.executemany(
            "INSERT INTO tokens (token, passage) VALUES (?, ?)",
            [(token, cursor.lastrowid) for token in sorted(note_tokens(text))],
        )

    def _add_meaning(self, note: int, meaning: Meaning) -> None:
        self._db.executemany(
            "INSERT INTO conditions VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            [
                (
                    note,
                    reading.axis,
                    reading.value,
                    reading.polarity,
                    reading.grade,
                    reading.weight,
                    reading.span.low if reading.span else None,
                    reading.span.high if reading.span else None,
                    reading.span.unit if reading.span else "",
                    storable(reading.text),
                    lines.first,
                    lines.last,
                )
                for reading, lines in meaning.conditions
            ],
        )
        self._db.executemany(
            "INSERT INTO quantities VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
            [
                (key, note, q.dimension, q.low, q.high, q.unit, q.step, storable(q.text))
                for key, q in meaning.quantities
            ],
        )

    def _add_digest(self, number: int, note: Note, digest: Digest) -> None:
        self._db.execute(
            "INSERT INTO digests VALUES (?, ?)", (number, storable(digest_to_json(digest)))
        )
        self._db.executemany(
            "INSERT INTO causes VALUES (?, ?, ?, ?, ?)",
            [
                (
                    storable(noun),
                    number,
                    cause.lines.first,
                    cause.lines.last,
                    cause_to_json(reading),
                )
                for cause, reading in zip(note.causes, digest.causes, strict=True)
                if reading.known
                for noun in sorted(nouns_of(reading))
            ],
        )

    def finish(self) -> None:
        """Bring what is gathered over all notes up to date; call it when all notes are in."""
        self._postings.flush()
        self._db.execute("DELETE FROM condition_counts")
        self._db.execute(
            "INSERT INTO condition_counts SELECT axis, value, polarity, low, high, unit,"
            " count(DISTINCT note) FROM conditions GROUP BY 1, 2, 3, 4, 5, 6"
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

    def without_vector(self) -> list[Trouble]:
        """A trouble for each note with passages that the sentence model gave no vector for."""
        rows = self._db.execute(
            "SELECT path, count(*) FROM passages JOIN notes ON notes.id = note"
            " WHERE hash NOT IN (SELECT hash FROM vectors) GROUP BY path ORDER BY path"
        )
        return [Trouble(os.fsdecode(path), f"{NO_VECTOR}: {n}", BY_WORDS) for path, n in rows]

    def add_vectors(self, vectors: Iterable[tuple[bytes, bytes]]) -> None:
        self._db.executemany("INSERT OR REPLACE INTO vectors (hash, vector) VALUES (?, ?)", vectors)

    def add_note_vectors(self) -> None:
        """Give every note that has none its two vectors; all passages must have theirs."""
        add_note_vectors(self._db)

    def drop_vectors(self) -> None:
        """Remove all vectors: they are of another model."""
        self._db.execute("DELETE FROM vectors")
        self._db.execute("DELETE FROM note_vectors")

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
