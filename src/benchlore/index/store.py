"""Reading the store: a sealed SQLite file that nobody writes any more."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from benchlore.index.encoder import Vectors
from benchlore.index.note_table import NoteTable, note_table
from benchlore.index.postings import Postings, unpack
from benchlore.index.rows import as_matrix, passage_vectors
from benchlore.index.store_notes import NoteStore
from benchlore.index.stored import StoredPassage
from benchlore.language import Reading
from benchlore.language.quantities import Quantity
from benchlore.language.spans import Span
from benchlore.notes import Lines


class Store(NoteStore):
    """A sealed store, read only, with all that a search looks up."""

    _table: NoteTable | None = None
    _counts: list[tuple[Reading, int]] | None = None

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
        """What a search needs of every note; read once."""
        if self._table is None:
            self._table = self._read_table()
        return self._table

    def _read_table(self) -> NoteTable:
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

    def condition_counts(self) -> list[tuple[Reading, int]]:
        """Every condition that a note states, and in how many notes it stands; read once."""
        if self._counts is None:
            rows = self._rows(
                "SELECT axis, value, polarity, '', '', low, high, unit, 1.0, notes"
                " FROM condition_counts"
            )
            self._counts = [(_reading(row), row[9]) for row in rows]
        return self._counts

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

    def vectors_by_hash(self, hashes: Iterable[bytes]) -> list[tuple[bytes, bytes]]:
        """Return (hash, vector as stored) for those of the texts `hashes` that have a vector."""
        rows = self._rows_for("SELECT hash, vector FROM vectors WHERE hash IN (?*)", hashes)
        return [(row[0], row[1]) for row in rows]

    def passage_vectors(self, above: int) -> Iterator[tuple[list[int], Vectors]]:
        """Passages numbered above `above` with their vectors, float32 (passages, dimensions)."""
        yield from passage_vectors(self._db, above)


def _reading(row: Sequence[Any]) -> Reading:
    """A row of axis, value, polarity, text, grade, low, high, unit, weight."""
    axis, value, polarity, text, grade, low, high, unit, weight = row[:9]
    span = None if low is None else Span(low, high, unit)
    return Reading(axis, value, polarity, text, grade, weight=weight, span=span)
