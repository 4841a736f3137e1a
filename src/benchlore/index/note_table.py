"""What a search needs of every note, in arrays: read once when an index is opened for searching."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

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
        first_passages, last_passages: numbers of a note's first and last passage, 0 without any.
            A note's passages are numbered in one go, and later notes have later ones.
        machine_passages: number of its machine line, 0 without one.
        lengths: words of all passages of a note.
        symptoms, wholes: float32 (notes, dimensions), see `note_vectors`; (notes, 0) without them.
        row_of: by note number its row; numbers that no note has stand for none.
    """

    numbers: npt.NDArray[np.int64]
    is_case: npt.NDArray[np.bool_]
    first_passages: npt.NDArray[np.int64]
    last_passages: npt.NDArray[np.int64]
    machine_passages: npt.NDArray[np.int64]
    lengths: npt.NDArray[np.float32]
    symptoms: Vectors
    wholes: Vectors
    row_of: Places

    def __len__(self) -> int:
        return len(self.numbers)

    def places(self, numbers: npt.NDArray[np.int64]) -> Places:
        """Return the row of each of `numbers`, all of which must be there."""
        return self.row_of[numbers]

    def rows_of_passages(self, numbers: npt.NDArray[np.int64]) -> Places:
        """Return for each passage number the row of its note, -1 where it is gone."""
        if not len(self):
            return np.full(len(numbers), -1, dtype=np.intp)
        rows = np.searchsorted(np.maximum.accumulate(self.last_passages), numbers)
        rows[rows == len(self)] = 0  # later than any: not among those of the first note either
        held = (self.first_passages[rows] <= numbers) & (numbers <= self.last_passages[rows])
        return np.where(held, rows, -1)


def note_table(
    rows: Sequence[tuple[int, str, int, bytes | None, bytes | None]],
    passages: Mapping[int, tuple[int, int]],
    machines: Mapping[int, int],
) -> NoteTable:
    """Make the table of rows (number, kind, length, symptom vector, whole vector) by number.

    `passages` has the first and last passage of each note that has any, `machines` its machine line
    where it has one.
    """
    numbers = np.array([row[0] for row in rows], dtype=np.int64)
    row_of = np.zeros(int(numbers.max(initial=0)) + 1, dtype=np.intp)
    row_of[numbers] = np.arange(len(numbers))
    ends = np.array([passages.get(row[0], (0, 0)) for row in rows], np.int64).reshape(-1, 2)
    return NoteTable(
        numbers=numbers,
        is_case=np.array([row[1] == "case" for row in rows], dtype=np.bool_),
        first_passages=ends[:, 0],
        last_passages=ends[:, 1],
        machine_passages=np.array([machines.get(row[0], 0) for row in rows], dtype=np.int64),
        lengths=np.array([row[2] for row in rows], dtype=np.float32),
        symptoms=_matrix([row[3] for row in rows]),
        wholes=_matrix([row[4] for row in rows]),
        row_of=row_of,
    )


def joined_tables(before: NoteTable, gone: Collection[int], added: NoteTable) -> NoteTable:
    """One table of two: `before` without the notes `gone`, and `added`, numbered above it."""
    live = ~np.isin(before.numbers, np.array(sorted(gone), dtype=np.int64))
    numbers = np.concatenate([before.numbers[live], added.numbers])
    row_of = np.zeros(int(numbers.max(initial=0)) + 1, dtype=np.intp)
    row_of[numbers] = np.arange(len(numbers))

    def joined(of: Callable[[NoteTable], npt.NDArray[Any]]) -> npt.NDArray[Any]:
        return np.concatenate([of(before)[live], of(added)])

    return NoteTable(
        numbers=numbers,
        is_case=joined(lambda table: table.is_case),
        first_passages=joined(lambda table: table.first_passages),
        last_passages=joined(lambda table: table.last_passages),
        machine_passages=joined(lambda table: table.machine_passages),
        lengths=joined(lambda table: table.lengths),
        symptoms=_joined_rows(before.symptoms, live, added.symptoms),
        wholes=_joined_rows(before.wholes, live, added.wholes),
        row_of=row_of,
    )


def _joined_rows(before: Vectors, live: npt.NDArray[np.bool_], added: Vectors) -> Vectors:
    """The `live` rows of `before`, then `added`, copied once: they may be 15 MB.

    Where one has no vectors at all its rows are zeros, which nothing is near to.
    """
    kept = int(live.sum())
    width = max(before.shape[1], added.shape[1])
    joined = np.zeros((kept + len(added), width), dtype=np.float32)
    if before.shape[1]:
        np.compress(live, before, axis=0, out=joined[:kept])
    if added.shape[1]:
        joined[kept:] = added
    return joined


def _matrix(stored: list[bytes | None]) -> Vectors:
    """A row a note; zeros for a note without passages, which nothing is near to."""
    size = next((len(blob) for blob in stored if blob), 0)
    joined = b"".join(blob or bytes(size) for blob in stored)
    halves = np.frombuffer(joined, dtype="<f2")
    return halves.reshape(len(stored), size // halves.itemsize).astype(np.float32)
