"""What a search needs of every note, in arrays: read once when an index is opened for searching."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from benchlore.index.encoder import Vectors

Places = npt.NDArray[np.intp]
"""Rows of a `NoteTable`."""


@dataclass(frozen=True, slots=True)
class NoteTable:
    """All notes of an index, one row each, by note number.

    Attributes:
        numbers: note numbers, ascending.
        is_case: case notes; the others are articles.
        lengths: words of all passages of a note.
        symptoms, wholes: float32 (notes, dimensions), see `note_vectors`; (notes, 0) without them.
    """

    numbers: npt.NDArray[np.int64]
    is_case: npt.NDArray[np.bool_]
    lengths: npt.NDArray[np.float32]
    symptoms: Vectors
    wholes: Vectors

    def __len__(self) -> int:
        return len(self.numbers)

    def rows_of(self, numbers: Iterable[int] | npt.NDArray[np.int64]) -> Places:
        """Return the rows of those of the note `numbers` that there are, ascending."""
        wanted = numbers if isinstance(numbers, np.ndarray) else np.fromiter(numbers, np.int64)
        return np.flatnonzero(np.isin(self.numbers, wanted))

    def places(self, numbers: npt.NDArray[np.int64]) -> Places:
        """Return the row of each of `numbers`, all of which must be there."""
        return np.searchsorted(self.numbers, numbers)


def note_table(rows: list[tuple[int, str, int, bytes | None, bytes | None]]) -> NoteTable:
    """Make the table of rows (number, kind, length, symptom vector, whole vector) by number."""
    return NoteTable(
        numbers=np.array([row[0] for row in rows], dtype=np.int64),
        is_case=np.array([row[1] == "case" for row in rows], dtype=np.bool_),
        lengths=np.array([row[2] for row in rows], dtype=np.float32),
        symptoms=_matrix([row[3] for row in rows]),
        wholes=_matrix([row[4] for row in rows]),
    )


def _matrix(stored: list[bytes | None]) -> Vectors:
    """A row a note; zeros for a note without passages, which nothing is near to."""
    size = next((len(blob) for blob in stored if blob), 0)
    joined = b"".join(blob or bytes(size) for blob in stored)
    halves = np.frombuffer(joined, dtype="<f2")
    return halves.reshape(len(stored), size // halves.itemsize).astype(np.float32)
