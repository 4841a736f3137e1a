"""The vectors of an index with those of notes changed since."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from benchlore.index.encoder import Vectors
from benchlore.index.few_vectors import FewVectors
from benchlore.index.vectors import Found, VectorIndex


class ChangedVectors:
    """Searched as a `VectorIndex` is. It never changes.

    `gone` are passages of `base` that no longer count. Those of `added` are numbered above
    `newest`, all others not.
    """

    def __init__(
        self,
        base: VectorIndex | FewVectors,
        gone: npt.NDArray[np.int64],
        added: FewVectors | None,
        newest: int,
    ) -> None:
        self.base = base
        self._gone = set(gone.tolist())
        self._added = added
        self._newest = newest

    def nearest(self, vector: Vectors, count: int, among: Sequence[int] | None = None) -> Found:
        """Return up to `count` pairs (passage number, cosine); see `VectorIndex.nearest`."""
        before = self.base.nearest(vector, count + len(self._gone), among)
        found = [pair for pair in before if pair[0] not in self._gone]
        if self._added is not None:
            found += self._added.nearest(vector, count, among)
        return sorted(found, key=lambda pair: (-pair[1], pair[0]))[:count]

    def of(self, numbers: Sequence[int]) -> Vectors:
        """Return the vectors of passage `numbers`, a row each; zeros for one without a vector."""
        wanted = np.asarray(numbers, dtype=np.int64)
        is_new = wanted > self._newest
        if self._added is None or not is_new.any():
            return self.base.of(numbers)
        if is_new.all():
            return self._added.of(numbers)
        old, new = self.base.of(wanted[~is_new].tolist()), self._added.of(wanted[is_new].tolist())
        vectors: Vectors = np.empty((len(wanted), new.shape[1]), dtype=np.float32)
        vectors[~is_new], vectors[is_new] = old, new
        return vectors
