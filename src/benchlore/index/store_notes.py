"""Reading the store: its file, and what it knows of whole notes. `store` has the rest."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any, Self

from benchlore.errors import IndexDamaged
from benchlore.index.cards import Wording, note_from_json, wordings
from benchlore.index.digests import Digest, cause_from_json, digest_from_json
from benchlore.index.files import Trouble
from benchlore.index.manifest import REBUILD
from benchlore.index.rows import comparable, comparable_code, storable
from benchlore.index.stored import Filters, StoredCause, StoredFile, StoredMachine, StoredNote

MAX_NAMES = 500
"""SQLite takes some thousand values in one statement; longer lists are cut into pieces of this."""

NAMED = ("system", "make", "engine")
"""Columns whose values can be chosen to narrow a search."""


class NoteStore:
    """A sealed store, read only. Use it in a `with`, or call `close`."""

    def __init__(self, path: Path) -> None:
        # immutable: no lock, no journal, so it also opens on read-only media.
        self._db = sqlite3.connect(
            f"{path.as_uri()}?immutable=1", uri=True, check_same_thread=False
        )

    @classmethod
    def over(cls, db: sqlite3.Connection) -> Self:
        """The store in `db`, which nobody writes any more and which any thread may use."""
        store = cls.__new__(cls)
        store._db = db
        return store

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        self.close()

    def close(self) -> None:
        self._db.close()

    def _rows(self, sql: str, values: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
        try:
            return self._db.execute(sql, values).fetchall()
        except sqlite3.DatabaseError as error:
            raise IndexDamaged(f"index damaged: {error}", REBUILD) from error

    def _rows_for(self, sql: str, values: Iterable[Any]) -> Iterator[tuple[Any, ...]]:
        """Run `sql`, in which `(?*)` stands for the list of `values`."""
        wanted = list(values)
        for start in range(0, len(wanted), MAX_NAMES):
            piece = wanted[start : start + MAX_NAMES]
            marks = "(" + ",".join("?" * len(piece)) + ")"
            yield from self._rows(sql.replace("(?*)", marks), piece)

    def newest(self) -> tuple[int, int]:
        """The highest numbers that a note and a passage have ever had."""
        rows = self._rows(
            "SELECT (SELECT max(id) FROM notes), (SELECT seq FROM sqlite_sequence"
            " WHERE name = 'passages')"
        )
        return rows[0][0] or 0, rows[0][1] or 0

    def copy_into(self, db: sqlite3.Connection) -> None:
        """Copy all of this store into the empty database `db`."""
        self._db.backup(db)

    def files(self) -> list[StoredFile]:
        rows = self._rows("SELECT path, digest, size, mtime_ns, unread FROM notes ORDER BY path")
        return [StoredFile(os.fsdecode(row[0]), *row[1:]) for row in rows]

    def files_at(self, paths: Iterable[str]) -> dict[str, tuple[int, StoredFile]]:
        """The notes among `paths` that are stored: number, and what is known of the file."""
        rows = self._rows_for(
            "SELECT id, path, digest, size, mtime_ns, unread FROM notes WHERE path IN (?*)",
            map(os.fsencode, paths),
        )
        files = [(row[0], StoredFile(os.fsdecode(row[1]), *row[2:])) for row in rows]
        return {file.path: (number, file) for number, file in files}

    def troubles(self) -> list[Trouble]:
        rows = self._rows("SELECT path, what, todo FROM troubles ORDER BY path")
        return [Trouble(os.fsdecode(row[0]), str(row[1]), str(row[2])) for row in rows]

    def note_count(self) -> int:
        return int(self._rows("SELECT count(*) FROM notes")[0][0])

    def passage_count(self) -> int:
        return int(self._rows("SELECT count(*) FROM passages")[0][0])

    def notes(self, numbers: Iterable[int]) -> dict[int, StoredNote]:
        rows = self._rows_for("SELECT id, card, unread FROM notes WHERE id IN (?*)", numbers)
        return {row[0]: _stored_note(row) for row in rows}

    def sources(self, numbers: Iterable[int]) -> dict[int, tuple[str, str]]:
        """The path and the digest of each of the notes `numbers`."""
        rows = self._rows_for("SELECT id, path, digest FROM notes WHERE id IN (?*)", numbers)
        return {row[0]: (os.fsdecode(row[1]), str(row[2])) for row in rows}

    def notes_with_problems(self) -> Iterator[StoredNote]:
        """The notes in which something could not be read as meant, by path.

        Told by the JSON itself, in which a quotation mark inside a text is never bare: reading all
        cards of 10,000 notes would take over a second.
        """
        sql = "SELECT id, card, unread FROM notes WHERE instr(card, ?) = 0 ORDER BY path"
        for row in self._rows(sql, ['"problems":[]']):
            yield _stored_note(row)

    def all_notes(self) -> Iterator[StoredNote]:
        """Every note, by path."""
        for row in self._rows("SELECT id, card, unread FROM notes ORDER BY path"):
            yield _stored_note(row)

    def case_wordings(self) -> Iterator[list[Wording]]:
        """The words of every case note that others may be written alike to, by path."""
        for _, card in self._case_cards():
            yield list(wordings(card))

    def _case_cards(self) -> list[tuple[str, str]]:
        """Path and card of every case note, by path."""
        rows = self._rows("SELECT path, card FROM notes WHERE kind = 'case' ORDER BY path")
        return [(os.fsdecode(row[0]), str(row[1])) for row in rows]

    def notes_by_case(self, case: str) -> list[StoredNote]:
        """The case notes with this job-card number, compared without case."""
        rows = self._rows(
            "SELECT id, card, unread FROM notes WHERE case_no = ? COLLATE NOCASE ORDER BY path",
            [storable(case)],
        )
        return [_stored_note(row) for row in rows]

    def notes_by_case_ending(self, ending: str) -> list[StoredNote]:
        """The case notes whose job-card number ends in `-` and `ending`: `0147` for `2025-0147`."""
        rows = self._rows(
            "SELECT id, card, unread FROM notes WHERE substr(case_no, ?) = ? COLLATE NOCASE"
            " ORDER BY path",
            [-len(ending) - 1, f"-{storable(ending)}"],
        )
        return [_stored_note(row) for row in rows]

    def notes_by_path(self, path: str) -> list[StoredNote]:
        rows = self._rows("SELECT id, card, unread FROM notes WHERE path = ?", [os.fsencode(path)])
        return [_stored_note(row) for row in rows]

    def digests(self, notes: Iterable[int]) -> dict[int, Digest]:
        """What the evidence compares of each of `notes`."""
        rows = self._rows_for("SELECT note, digest FROM digests WHERE note IN (?*)", notes)
        return {row[0]: digest_from_json(row[1]) for row in rows}

    def causes_named(self, nouns: Iterable[str]) -> list[StoredCause]:
        """The known causes of case notes that go by one of `nouns`, by note number."""
        rows = self._rows_for(
            "SELECT DISTINCT note, path, case_no, first_line, last_line, reading FROM causes"
            " JOIN notes ON id = note WHERE kind = 'case' AND noun IN (?*)"
            " ORDER BY note, first_line",
            nouns,
        )
        return [
            StoredCause(note, os.fsdecode(path), case, first, last, cause_from_json(reading))
            for note, path, case, first, last, reading in rows
        ]

    def diagnosed_machines(self) -> list[StoredMachine]:
        """The machines of all case notes with a known cause, by note number; one of those alike."""
        first: dict[str, StoredMachine] = {}
        for digest, machine in self._diagnosed():
            first.setdefault(digest, machine)
        return list(first.values())

    def _diagnosed(self) -> list[tuple[str, StoredMachine]]:
        """Digest and machine of each case note with a known cause, by note number."""
        rows = self._rows(
            "SELECT digest, id, make, model, engine, year, distance, hours FROM notes"
            " WHERE kind = 'case' AND diagnosed ORDER BY id"
        )
        return [(row[0], StoredMachine(*row[1:])) for row in rows]

    def matching_notes(self, filters: Filters) -> set[int] | None:
        """Numbers of the notes that `filters` lets through; None for all of them."""
        if not filters.any:
            return None
        wanted: list[tuple[str, str]] = []
        if filters.system:
            wanted.append(("system = ?", comparable(filters.system)))
        if filters.make:
            wanted.append(("make = ?", comparable(filters.make)))
        if filters.engine:
            wanted.append(("engine = ?", comparable_code(filters.engine)))
        if filters.since:
            wanted.append(("day >= ?", filters.since))
        where = " AND ".join(condition for condition, _ in wanted)
        rows = self._rows(f"SELECT id FROM notes WHERE {where}", [value for _, value in wanted])
        return {int(row[0]) for row in rows}

    def names(self, column: str) -> list[tuple[str, int]]:
        """The values of `system`, `make` or `engine` in case notes with counts, most first."""
        if column not in NAMED:
            raise ValueError(column)
        rows = self._rows(
            f"SELECT {column}, count(*) FROM notes WHERE {column} != ''"
            " GROUP BY 1 ORDER BY 2 DESC, 1"
        )
        return [(str(name), int(count)) for name, count in rows]

    def names_of(self, column: str, notes: Iterable[int]) -> list[str]:
        """The values of `system`, `make` or `engine` in `notes`, one a note that has one."""
        if column not in NAMED:
            raise ValueError(column)
        rows = self._rows_for(
            f"SELECT {column} FROM notes WHERE {column} != '' AND id IN (?*)", notes
        )
        return [str(row[0]) for row in rows]


def _stored_note(row: tuple[Any, ...]) -> StoredNote:
    return StoredNote(int(row[0]), note_from_json(str(row[1])), str(row[2]))
