"""Which notes hold a word, and how often: one row a word, so that a query reads a dozen rows.

BM25 needs the counts of every note that holds a word of the query. Read row by row from a table of
(word, note) that takes 40 ms over 10,000 notes; as one packed row a word it takes 1 ms.
"""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

MOST_COUNTED = 255
"""A word that stands more often in one note counts as this often: BM25 levels off far below."""

KEPT_PENDING = 400_000
"""Changes that a build gathers before it writes them; some 60 MB."""


@dataclass(frozen=True, slots=True)
class Postings:
    """The notes that hold a word, by number, and how often; two arrays of one length."""

    notes: npt.NDArray[np.int64]
    counts: npt.NDArray[np.int64]


def pack(counts: Mapping[int, int]) -> bytes:
    """Pack note numbers (below 2**24) with counts, in the order of the numbers."""
    packed = [(note << 8) | min(count, MOST_COUNTED) for note, count in sorted(counts.items())]
    return np.array(packed, dtype="<u4").tobytes()


def unpack(blob: bytes) -> Postings:
    """Return what `pack` was given."""
    packed = np.frombuffer(blob, dtype="<u4").astype(np.int64)
    return Postings(packed >> 8, packed & 0xFF)


class PostingsWriter:
    """Gathers changes and writes them word by word; call `flush` when all are in."""

    def __init__(self, db: sqlite3.Connection) -> None:
        self._db = db
        self._pending: defaultdict[str, dict[int, int]] = defaultdict(dict)
        self._held = 0

    def add(self, note: int, counts: Mapping[str, int]) -> None:
        """Say how often each word stands in a note."""
        for word, count in counts.items():
            self._pending[word][note] = count
        self._gathered(len(counts))

    def remove(self, note: int, words: Iterable[str]) -> None:
        """Say that a note that held `words` is gone."""
        gone = set(words)
        for word in gone:
            self._pending[word][note] = 0
        self._gathered(len(gone))

    def _gathered(self, changes: int) -> None:
        self._held += changes
        if self._held > KEPT_PENDING:
            self.flush()

    def flush(self) -> None:
        """Write what was gathered."""
        for word, changes in self._pending.items():
            row = self._db.execute("SELECT notes FROM postings WHERE word = ?", (word,)).fetchone()
            counts: dict[int, int] = {}
            if row:
                found = unpack(row[0])
                counts = dict(zip(found.notes.tolist(), found.counts.tolist(), strict=True))
            counts.update(changes)
            left = {note: count for note, count in counts.items() if count}
            if left:
                self._db.execute(
                    "INSERT OR REPLACE INTO postings (word, notes) VALUES (?, ?)",
                    (word, pack(left)),
                )
            else:
                self._db.execute("DELETE FROM postings WHERE word = ?", (word,))
        self._pending.clear()
        self._held = 0
