"""Two vectors a note, of its symptom and of all its passages together.

The mean of a note's passage vectors tells what the note as a whole is about; a question is compared
with it, and notes with each other.
"""

from __future__ import annotations

import sqlite3
from itertools import groupby

import numpy as np

from benchlore.index.encoder import Vectors
from benchlore.index.rows import as_matrix

_PASSAGES = """
SELECT passages.note, vector, passages.kind = 'symptom'
FROM passages JOIN vectors USING (hash)
WHERE passages.note NOT IN (SELECT note FROM note_vectors)
ORDER BY passages.note, passages.id
"""


def add_note_vectors(db: sqlite3.Connection) -> None:
    """Give every note without them its two vectors, from those of its passages."""
    rows = db.execute(_PASSAGES)
    made = []
    for note, group in groupby(rows, key=lambda row: int(row[0])):
        passages = list(group)
        _, vectors = as_matrix(passages)
        # A note without a symptom of its own is known by its first passage.
        symptom = next((n for n, row in enumerate(passages) if row[2]), 0)
        made.append((note, _stored(vectors[symptom]), _stored(_whole(vectors))))
    db.executemany("INSERT INTO note_vectors (note, symptom, whole) VALUES (?, ?, ?)", made)


def _whole(vectors: Vectors) -> Vectors:
    """The mean direction of unit vectors, of length 1; shape (dimensions,)."""
    mean: Vectors = vectors.mean(axis=0)
    length = float(np.linalg.norm(mean))
    return mean / length if length else mean


def _stored(vector: Vectors) -> bytes:
    return vector.astype("<f2").tobytes()
