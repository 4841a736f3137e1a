"""What the writing and the reading side of the store share: how values stand in its rows."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from benchlore.index.encoder import Vectors


def passage_vectors(db: sqlite3.Connection, above: int) -> Iterator[tuple[list[int], Vectors]]:
    """Yield the passages numbered above `above` with their vectors, some thousands at a time.

    The vectors are float32 of shape (passages, dimensions).
    """
    cursor = db.execute(
        "SELECT passages.id, vector FROM passages JOIN vectors USING (hash)"
        " WHERE passages.id > ? ORDER BY passages.id",
        (above,),
    )
    while rows := cursor.fetchmany(8192):
        yield as_matrix(rows)


def as_matrix(rows: Sequence[tuple[Any, ...]]) -> tuple[list[int], Vectors]:
    """Split rows of (number, stored vector) into numbers and a float32 matrix, a row each."""
    if not rows:
        return [], np.empty((0, 0), dtype=np.float32)
    joined = b"".join(row[1] for row in rows)
    matrix = np.frombuffer(joined, dtype="<f2").reshape(len(rows), -1).astype(np.float32)
    return [int(row[0]) for row in rows], matrix


def comparable(text: str) -> str:
    """A name as filters compare it: lower case, single spaces."""
    return " ".join(storable(text).casefold().split())


def comparable_code(text: str) -> str:
    """An engine code as filters compare it: letters and digits, upper case."""
    return "".join(char for char in storable(text).upper() if char.isalnum())


def storable(text: str) -> str:
    """SQLite takes no lone surrogates."""
    return text.encode("utf-8", "replace").decode("utf-8")
