"""Vectors that a build has made so far, kept aside in case it is interrupted."""

from __future__ import annotations

import contextlib
import sqlite3
import zlib
from collections.abc import Iterable
from pathlib import Path


class EncodedSoFar:
    """A small file of vectors by text hash, each row with its own CRC-32.

    Only the build reads it, and only after it was interrupted. A file that is damaged is dropped.
    """

    def __init__(self, path: Path, model_sha256: str) -> None:
        self._path = path
        self._model = model_sha256
        try:
            self._open()
        except sqlite3.DatabaseError:
            self.remove()
            self._open()

    def _open(self) -> None:
        self._db = sqlite3.connect(self._path)
        self._db.execute("PRAGMA synchronous = OFF")
        self._db.execute(
            "CREATE TABLE IF NOT EXISTS encoded"
            " (model TEXT, hash BLOB, vector BLOB, crc INTEGER, PRIMARY KEY (model, hash))"
        )

    def get(self, hashes: Iterable[bytes]) -> list[tuple[bytes, bytes]]:
        """Return (hash, vector) for those of `hashes` that are kept and sound."""
        found = []
        with contextlib.suppress(sqlite3.DatabaseError):
            for key in hashes:
                row = self._db.execute(
                    "SELECT vector, crc FROM encoded WHERE model = ? AND hash = ?",
                    (self._model, key),
                ).fetchone()
                if row and zlib.crc32(key + row[0]) == row[1]:
                    found.append((key, row[0]))
        return found

    def put(self, vectors: Iterable[tuple[bytes, bytes]]) -> None:
        """Keep `vectors`; they are in the file when this returns."""
        rows = [(self._model, key, vector, zlib.crc32(key + vector)) for key, vector in vectors]
        with self._db:
            self._db.executemany("INSERT OR REPLACE INTO encoded VALUES (?, ?, ?, ?)", rows)

    def close(self) -> None:
        self._db.close()

    def remove(self) -> None:
        """Close and delete the file: its vectors have gone into a store."""
        if hasattr(self, "_db"):
            self._db.close()
        for name in (self._path, self._path.with_name(self._path.name + "-journal")):
            name.unlink(missing_ok=True)
