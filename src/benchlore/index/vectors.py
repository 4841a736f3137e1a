"""The FAISS side of the index: a cache of the store's vectors for fast nearest search."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from benchlore.index.encoder import Vectors

Numbers = npt.NDArray[np.int64]
Found = list[tuple[int, float]]
"""(passage number, cosine)."""

HALVED_FROM = 20_000
"""Vectors from which a search is shared between two threads: one takes 2.5 ms for these."""


class VectorIndex:
    """Vectors of unit length by passage number, searched by cosine, exhaustively.

    fp16 scalar quantisation: half the memory of float32, with the same neighbours (a test compares
    them with an exact search). FAISS searches for one vector in one thread: 10 ms over 80,000; in
    two halves side by side it takes 5 ms.
    """

    def __init__(self, dimensions: int) -> None:
        import faiss

        flat = faiss.IndexScalarQuantizer(
            dimensions, faiss.ScalarQuantizer.QT_fp16, faiss.METRIC_INNER_PRODUCT
        )
        self._hold(faiss.IndexIDMap2(flat))

    def _hold(self, index: Any) -> None:  # noqa: ANN401
        self._index = index
        self._other_half = ThreadPoolExecutor(max_workers=1)  # starts no thread until it is used

    def add(self, numbers: Sequence[int] | Numbers, vectors: Vectors) -> None:
        """Add `vectors`, float32 of shape (len(numbers), dimensions), under passage `numbers`."""
        if len(numbers):
            self._index.add_with_ids(vectors, np.asarray(numbers, dtype=np.int64))

    def __len__(self) -> int:
        return int(self._index.ntotal)

    def nearest(self, vector: Vectors, count: int, among: Sequence[int] | None = None) -> Found:
        """Return up to `count` pairs (passage number, cosine) for a vector of shape (dimensions,).

        Best first; equal cosines in the order of their numbers. `among` names the passages to
        search; None means all.
        """
        import faiss

        count = min(count, len(self) if among is None else len(among))
        if count == 0:
            return []
        if among is not None:
            pairs = self._of(vector, count, faiss.IDSelectorBatch(np.asarray(among, np.int64)))
        elif len(self) < HALVED_FROM:
            pairs = self._of(vector, count, None)
        else:
            middle, end = self._index.id_map.at(len(self) // 2), np.iinfo(np.int64).max
            upper = faiss.IDSelectorRange(middle, end)
            other = self._other_half.submit(self._of, vector, count, upper)
            pairs = self._of(vector, count, faiss.IDSelectorRange(0, middle)) + other.result()
        return sorted(pairs, key=lambda pair: (-pair[1], pair[0]))[:count]

    def _of(self, vector: Vectors, count: int, selector: Any) -> Found:  # noqa: ANN401
        import faiss

        # For this thread: FAISS would start a team for one vector, whose idle half spins.
        faiss.omp_set_num_threads(1)
        parameters = faiss.SearchParameters(sel=selector) if selector else None  # type: ignore[call-arg]
        cosines, numbers = self._index.search(vector.reshape(1, -1), count, params=parameters)
        pairs = zip(numbers[0].tolist(), cosines[0].tolist(), strict=True)
        return [(number, cosine) for number, cosine in pairs if number >= 0]

    def of(self, numbers: Sequence[int]) -> Vectors:
        """Return the vectors of passage `numbers`, a row each; zeros for one without a vector."""
        try:
            vectors: Vectors = self._index.reconstruct_batch(np.asarray(numbers, dtype=np.int64))
        except RuntimeError:  # FAISS gives all or nothing
            vectors = np.zeros((len(numbers), self._index.d), dtype=np.float32)
            for row, number in enumerate(numbers):
                with contextlib.suppress(RuntimeError):
                    vectors[row] = self._index.reconstruct(int(number))
        return vectors

    def save(self, path: Path) -> None:
        """Write the index to `path`; raises RuntimeError or OSError when that fails."""
        import faiss

        faiss.write_index(self._index, str(path))

    @classmethod
    def load(cls, path: Path) -> VectorIndex:
        """Load what `save` wrote. Compare the file's SHA-256 first: FAISS trusts its bytes."""
        import faiss

        loaded = cls.__new__(cls)
        loaded._hold(faiss.read_index(str(path)))
        return loaded
