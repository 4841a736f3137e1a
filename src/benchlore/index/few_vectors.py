"""The vectors of a small index, searched without FAISS, which takes 0.1 s to import."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from benchlore.index.encoder import Vectors
from benchlore.index.vectors import Found, Numbers

FEW = 5000
"""Passages up to which numpy searches in 1 ms, and reads the vectors faster than FAISS starts."""


class FewVectors:
    """Vectors of unit length by passage number, searched as `VectorIndex` searches them.

    `vectors` is float32 of shape (len(numbers), dimensions), `numbers` ascending.
    """

    def __init__(self, numbers: Numbers, vectors: Vectors) -> None:
        self._numbers = numbers
        self._vectors = vectors

    def nearest(self, vector: Vectors, count: int, among: Sequence[int] | None = None) -> Found:
        """Return up to `count` pairs (passage number, cosine); see `VectorIndex.nearest`."""
        # Not `@`, whose sums depend on where a row stands: equal vectors must have equal cosines.
        cosines = np.einsum("ij,j->i", self._vectors, vector)
        numbers = self._numbers
        if among is not None:
            wanted = np.isin(numbers, np.asarray(among, dtype=np.int64))
            numbers, cosines = numbers[wanted], cosines[wanted]
        best = np.lexsort((numbers, -cosines))[:count]
        return list(zip(numbers[best].tolist(), cosines[best].tolist(), strict=True))

    def of(self, numbers: Sequence[int]) -> Vectors:
        """Return the vectors of passage `numbers`, a row each; zeros for one without a vector."""
        wanted = np.asarray(numbers, dtype=np.int64)
        rows = np.minimum(np.searchsorted(self._numbers, wanted), len(self._numbers) - 1)
        vectors: Vectors = np.where(
            (self._numbers[rows] == wanted)[:, np.newaxis], self._vectors[rows], np.float32(0)
        )
        return vectors


def gathered(pieces: Sequence[tuple[Sequence[int] | Numbers, Vectors]]) -> FewVectors | None:
    """Those of `pieces`, (passage numbers, vectors) each in order; None where there are none."""
    held = [(numbers, vectors) for numbers, vectors in pieces if len(numbers)]
    if not held:
        return None
    numbers = np.concatenate([np.asarray(numbers, dtype=np.int64) for numbers, _ in held])
    return FewVectors(numbers, np.concatenate([vectors for _, vectors in held]))
