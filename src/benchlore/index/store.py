"""Reading the store: a sealed SQLite file that nobody writes any more."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from benchlore.errors import IndexDamaged
from benchlore.index.cards import Wording, note_from_json, wordings
from benchlore.index.digests import Digest, cause_from_json, digest_from_json
from benchlore.index.encoder import Vectors
from benchlore.index.files import Trouble
from benchlore.index.manifest import REBUILD
from benchlore.index.note_table import NoteTable, note_table
from benchlore.index.postings import Postings, unpack
from benchlore.index.rows import as_matrix, comparable, comparable_code, passage_vectors, storable
from benchlore.index.stored import (
    Filters,
    StoredCause,
    StoredFile,
    StoredMachine,
    StoredNote,
    StoredPassage,
)
from benchlore.language import Reading
from benchlore.language.quantities import Quantity
from benchlore.language.spans import Span
from benchlore.notes import Lines

MAX_NAMES = 500
"""SQLite takes some thousand values in one statement; longer lists are cut into pieces of this."""


class Store:
    """A sealed store, read only. Use it in a `with`, or call `close`."""

    def __init__(self, path: Path) -> None:
        # immutable: no lock, no journal, so it also opens on read-only media.
        self._db = sqlite3.connect(
            f"{path.as_uri()}?immutable=1", uri=True, check_same_thread=False
        )

    def __enter__(self) -> Store:
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

    def files(self) -> list[StoredFile]:
        rows = self._rows("SELECT path, digest, size, mtime_ns, unread FROM notes ORDER BY path")
        return [StoredFile(os.fsdecode(row[0]), *row[1:]) for row in rows]

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
        for row in self._rows("SELECT card FROM notes WHERE kind = 'case' ORDER BY path"):
            yield list(wordings(str(row[0])))

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

    def passages(self, numbers: Iterable[int]) -> list[StoredPassage]:
        """Those of the passages `numbers` that there are, in no order."""
        return self._passages("passages.id IN (?*)", numbers)

    def passages_of_notes(self, notes: Iterable[int]) -> list[StoredPassage]:
        """All passages of `notes`, in no order."""
        return self._passages("note IN (?*)", notes)

    def _passages(self, which: str, numbers: Iterable[int]) -> list[StoredPassage]:
        rows = self._rows_for(
            "SELECT passages.id, note, notes.kind, passages.kind, first_line, last_line, text,"
            f" words FROM passages JOIN notes ON notes.id = note WHERE {which}",
            numbers,
        )
        return [StoredPassage(*row) for row in rows]

    def passages_with_token(self, token: str) -> list[int]:
        """Numbers of the passages that state the exact token, ascending."""
        rows = self._rows("SELECT passage FROM tokens WHERE token = ? ORDER BY passage", [token])
        return [row[0] for row in rows]

    def postings(self, words: Iterable[str]) -> dict[str, Postings]:
        """The notes that hold each of the search `words`; those in none are left out."""
        rows = self._rows_for("SELECT word, notes FROM postings WHERE word IN (?*)", words)
        return {str(word): unpack(blob) for word, blob in rows}

    def words(self) -> list[str]:
        """Every search word of any note."""
        return [str(row[0]) for row in self._rows("SELECT word FROM postings")]

    def note_table(self) -> NoteTable:
        rows = self._rows(
            "SELECT id, kind, length, symptom, whole FROM notes"
            " LEFT JOIN note_vectors ON note = id ORDER BY id"
        )
        # By the index over notes alone, without reading any text.
        passages = self._rows("SELECT note, min(id), max(id) FROM passages GROUP BY note")
        machines = self._rows("SELECT note, id FROM passages WHERE kind = 'machine'")
        ends = {note: (first, last) for note, first, last in passages}
        return note_table(rows, ends, dict(machines))

    def conditions(self, notes: Iterable[int]) -> dict[int, list[Reading]]:
        """The conditions that each of `notes` states, front matter first; none: left out."""
        found: dict[int, list[Reading]] = {}
        for row in self._rows_for(
            "SELECT axis, value, polarity, text, grade, low, high, unit, weight, note"
            " FROM conditions WHERE note IN (?*) ORDER BY note, rowid",
            notes,
        ):
            found.setdefault(row[9], []).append(_reading(row))
        return found

    def condition_lines(self, notes: Iterable[int]) -> dict[int, list[tuple[Reading, Lines]]]:
        """As `conditions`, each with the lines of the note that it was read from."""
        found: dict[int, list[tuple[Reading, Lines]]] = {}
        for row in self._rows_for(
            "SELECT axis, value, polarity, text, grade, low, high, unit, weight, note, first_line,"
            " last_line FROM conditions WHERE note IN (?*) ORDER BY note, rowid",
            notes,
        ):
            found.setdefault(row[9], []).append((_reading(row), Lines(row[10], row[11])))
        return found

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
        rows = self._rows(
            "SELECT min(id), make, model, engine, year, distance, hours FROM notes"
            " WHERE kind = 'case' AND diagnosed GROUP BY digest ORDER BY 1"
        )
        return [StoredMachine(*row) for row in rows]

    def condition_counts(self) -> list[tuple[Reading, int]]:
        """Every condition that a note states, and in how many notes it stands."""
        rows = self._rows(
            "SELECT axis, value, polarity, '', '', low, high, unit, 1.0, notes"
            " FROM condition_counts"
        )
        return [(_reading(row), row[9]) for row in rows]

    def quantities(self, keys: Iterable[str]) -> dict[int, list[Quantity]]:
        """The measured values that stand under any of `keys`, by note."""
        found: dict[int, dict[Quantity, None]] = {}
        for row in self._rows_for(
            "SELECT note, dimension, low, high, unit, text, step FROM quantities WHERE key IN (?*)",
            keys,
        ):
            dimension, low, high, unit, text, step = row[1:]
            value = Quantity(dimension, low, high, unit, text, 0, len(text), step)
            found.setdefault(row[0], {})[value] = None
        return {note: list(values) for note, values in found.items()}

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

    def passages_of(self, notes: Iterable[int]) -> list[int]:
        """Numbers of all passages of `notes`."""
        rows = self._rows_for("SELECT id FROM passages WHERE note IN (?*)", notes)
        return [int(row[0]) for row in rows]

    def vectors_of(self, numbers: Iterable[int]) -> tuple[list[int], Vectors]:
        """Those of the passages `numbers` that have a vector, and the vectors in the same order.

        float32 of shape (passages, dimensions); (0, 0) when there are none.
        """
        rows = list(
            self._rows_for(
                "SELECT passages.id, vector FROM passages JOIN vectors USING (hash)"
                " WHERE passages.id IN (?*)",
                numbers,
            )
        )
        return as_matrix(rows)

    def names(self, column: str) -> list[tuple[str, int]]:
        """The values of `system`, `make` or `engine` in case notes with counts, most first."""
        if column not in ("system", "make", "engine"):
            raise ValueError(column)
        rows = self._rows(
            f"SELECT {column}, count(*) FROM notes WHERE {column} != ''"
            " GROUP BY 1 ORDER BY 2 DESC, 1"
        )
        return [(str(name), int(count)) for name, count in rows]

    def passage_vectors(self, above: int) -> Iterator[tuple[list[int], Vectors]]:
        """Passages numbered above `above` with their vectors, float32 (passages, dimensions)."""
        yield from passage_vectors(self._db, above)


def _stored_note(row: tuple[Any, ...]) -> StoredNote:
    return StoredNote(int(row[0]), note_from_json(str(row[1])), str(row[2]))


def _reading(row: Sequence[Any]) -> Reading:
    """A row of axis, value, polarity, text, grade, low, high, unit, weight."""
    axis, value, polarity, text, grade, low, high, unit, weight = row[:9]
    span = None if low is None else Span(low, high, unit)
    return Reading(axis, value, polarity, text, grade, weight=weight, span=span)
