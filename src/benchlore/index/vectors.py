"""The FAISS side of the index: a cache of the store's vectors for fast nearest search."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from benchlore.index.encoder import Vectors

Numbers = npt.NDArray[np.int64]


class VectorIndex:
    """Vectors of unit length by passage number, searched by cosine, exhaustively.

    fp16 scalar quantisation: half the memory of float32 and 2.2 ms instead of 10.5 ms over 80,000
    vectors on two cores, with the same neighbours (a test compares them with an exact search).
    """

    def __init__(self, dimensions: int) -> None:
        import faiss

        flat = faiss.IndexScalarQuantizer(
            dimensions, faiss.ScalarQuantizer.QT_fp16, faiss.METRIC_INNER_PRODUCT
        )
        self._index: Any = faiss.IndexIDMap2(flat)

    def add(self, numbers: Sequence[int] | Numbers, vectors: Vectors) -> None:
        """Add `vectors`, float32 of shape (len(numbers), dimensions), under passage `numbers`."""
        if len(numbers):
            self._index.add_with_ids(vectors, np.asarray(numbers, dtype=np.int64))

    def __len__(self) -> int:
        return int(self._index.ntotal)

    def nearest(
        self, vector: Vectors, count: int, among: Sequence[int] | None = None
    ) -> list[tuple[int, float]]:
        """Return up to `count` pairs (passage number, cosine) for a vector of shape (dimensions,).

        Best first; equal cosines in the order of their numbers. `among` names the passages to
        search; None means all.
        """
        import faiss

        count = min(count, len(self) if among is None else len(among))
        if count == 0:
            return []
        parameters = None
        if among is not None:
            selector = faiss.IDSelectorBatch(np.asarray(among, dtype=np.int64))
            parameters = faiss.SearchParameters(sel=selector)  # type: ignore[call-arg]
        cosines, numbers = self._index.search(vector.reshape(1, -1), count, params=parameters)
        pairs = [(int(n), float(c)) for n, c in zip(numbers[0], cosines[0], strict=True) if n >= 0]
        return sorted(pairs, key=lambda pair: (-pair[1], pair[0]))

    def save(self, path: Path) -> None:
        """Write the index to `path`; raises RuntimeError or OSError when that fails."""
        import faiss

        faiss.write_index(self._index, str(path))

    @classmethod
    def load(cls, path: Path) -> VectorIndex:
        """Load what `save` wrote. Compare the file's SHA-256 first: FAISS trusts its bytes."""
        import faiss

        loaded = cls.__new__(cls)
        loaded._index = faiss.read_index(str(path))
        return loaded
