"""An index that is open for searching: its files checked, then loaded.

What brings numpy along is imported in functions: the encoder can begin to load before that.
"""

from __future__ import annotations

import threading
from collections.abc import Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from benchlore.errors import IndexDamaged, ModelError
from benchlore.index.manifest import Manifest, read_manifest, verify
from benchlore.shop import Shop

if TYPE_CHECKING:
    from benchlore.index.changed_store import ChangedStore
    from benchlore.index.changed_vectors import ChangedVectors
    from benchlore.index.encoder import Encoder, Vectors
    from benchlore.index.few_vectors import FewVectors
    from benchlore.index.store import Store
    from benchlore.index.vectors import VectorIndex

KEPT_ENCODED = 16
"""Questions whose vectors are kept: one asked again with a filter or a condition dropped takes half
the time."""

TRIES = 3
"""A build may replace the index between reading its manifest and reading its files."""


class OpenIndex:
    """A sound index. The store is open at once; vectors and encoder are loaded on first use.

    Safe to use from several threads.
    """

    def __init__(
        self,
        shop: Shop,
        manifest: Manifest,
        store: Store,
        encoder: Future[Encoder] | None = None,
    ) -> None:
        """`encoder` is being loaded already, if given."""
        self.shop = shop
        self.manifest = manifest
        self.store = store
        self._loading = threading.Lock()
        self._started = encoder
        self._encoding = ThreadPoolExecutor(max_workers=1)  # starts no thread until it is used
        self._encoded = lru_cache(maxsize=KEPT_ENCODED)(self._submit)
        self._encoder: Encoder | None = None
        self._vectors: VectorIndex | FewVectors | ChangedVectors | None = None

    def with_changes(self, store: ChangedStore) -> OpenIndex:
        """This index with the notes of `store`, whose base is this index's store or the same base.

        Encoder and vectors are shared; this index stays as it is.
        """
        self.load()
        changed = OpenIndex(self.shop, self.manifest, store)
        changed._encoding, changed._encoded = self._encoding, self._encoded
        changed._encoder = self._encoder
        if self._vectors is not None:
            from benchlore.index.changed_vectors import ChangedVectors
            from benchlore.index.few_vectors import gathered

            before = self._vectors
            base = before.base if isinstance(before, ChangedVectors) else before
            added = gathered([*store.changes.passage_vectors(0)])
            newest = store.base.newest()[1]
            changed._vectors = ChangedVectors(base, store.gone_passages, added, newest)
        return changed

    @property
    def touched(self) -> frozenset[str]:
        """Paths of the notes that differ from the files of this index; see `ChangedStore`."""
        return getattr(self.store, "touched", frozenset())

    def same_encoder(self, manifest: Manifest) -> Future[Encoder] | None:
        """The encoder that is loaded here, where an index with `manifest` has the very same."""
        mine, files = self.manifest, (manifest.encoder, manifest.tokenizer, manifest.max_tokens)
        if self._encoder is None or files != (mine.encoder, mine.tokenizer, mine.max_tokens):
            return None
        loaded: Future[Encoder] = Future()
        loaded.set_result(self._encoder)
        return loaded

    @property
    def words_only(self) -> str:
        """Why this index has no vectors, or an empty text."""
        return self.manifest.no_model

    def load(self) -> None:
        """Load encoder and vectors now, so that the first search need not.

        Raises:
            IndexDamaged: a file is not what the build wrote.
        """
        if self.words_only or self._vectors is not None:
            return
        with self._loading:
            if self._vectors is None:
                encoder = self._started or start_loading(self.shop, self.manifest)
                path = self._vectors_file()
                vectors = self._open_vectors(path) if path else None
                self._encoder = encoder.result()
                self._vectors = self._open_vectors(None) if vectors is None else vectors

    def encode(self, text: str) -> Vectors:
        """Return the vector of one text: float32, shape (dimensions,)."""
        vector: Vectors = self.encode_all([text])[0]
        return vector

    def encode_all(self, texts: Sequence[str]) -> Vectors:
        """Return the vectors of `texts`: float32, shape (len(texts), dimensions)."""
        self.load()
        assert self._encoder is not None
        return self._encoder.encode(texts)

    def start_encoding(self, texts: tuple[str, ...]) -> Future[Vectors]:
        """Begin to encode `texts` in another thread; its result is that of `encode_all`."""
        return self._encoded(texts)

    def _submit(self, texts: tuple[str, ...]) -> Future[Vectors]:
        return self._encoding.submit(self.encode_all, texts)

    def nearest(
        self, vector: Vectors, count: int, among: Sequence[int] | None = None
    ) -> list[tuple[int, float]]:
        """Return up to `count` (passage number, cosine), best first; see `VectorIndex.nearest`.

        Numbers of passages that are gone may be among them.
        """
        self.load()
        assert self._vectors is not None
        return self._vectors.nearest(vector, count, among)

    def vectors_of(self, numbers: Sequence[int]) -> Vectors:
        """Return the vectors of passages that are in the store: float32, a row each."""
        self.load()
        assert self._vectors is not None
        return self._vectors.of(numbers)

    def close(self) -> None:
        self.store.close()

    def _open_vectors(self, path: Path | None) -> VectorIndex | FewVectors:
        """The vectors from the file at `path`, or, None, all from the store."""
        import numpy as np

        from benchlore.index.few_vectors import FEW, gathered
        from benchlore.index.vectors import VectorIndex

        if self.store.passage_count() <= FEW:
            few = gathered([*self.store.passage_vectors(0)])
            if few is not None:
                return few
        if path is not None:
            vectors, newest = VectorIndex.load(path), self.manifest.vectors_newest
        else:
            assert self._encoder is not None
            vectors, newest = VectorIndex(self._encoder.dimensions), 0
        for added, rows in self.store.passage_vectors(newest):
            vectors.add(added, np.ascontiguousarray(rows))
        return vectors

    def _vectors_file(self) -> Path | None:
        """The file of vectors, sound; None where builds have replaced the index since it was opened
        and removed it: the store, which is open, holds them all."""
        if self.manifest.vectors is None:
            raise IndexDamaged("index damaged: no vectors named", "benchlore build makes it again")
        try:
            return verify(self.shop.index, self.manifest.vectors)
        except IndexDamaged:
            if read_manifest(self.shop.index, self.shop.root) == self.manifest:
                raise
            return None


def start_loading(shop: Shop, manifest: Manifest) -> Future[Encoder]:
    """Begin to load the encoder in a thread of its own, and return at once.

    Hashing and loading leave the other core to Python. What goes wrong is raised by the result.
    """
    other = ThreadPoolExecutor(max_workers=1)
    started = other.submit(_open_encoder, shop, manifest)
    other.shutdown(wait=False)
    return started


def _open_encoder(shop: Shop, manifest: Manifest) -> Encoder:
    if manifest.encoder is None or manifest.tokenizer is None:
        raise IndexDamaged("index damaged: no encoder named", "benchlore build makes it again")
    encoder = verify(shop.index, manifest.encoder)
    tokenizer = verify(shop.index, manifest.tokenizer)
    from benchlore.index.encoder import Encoder

    try:
        return Encoder(encoder, tokenizer, manifest.max_tokens)
    except ModelError as error:
        raise IndexDamaged(str(error), "delete the index folder, then benchlore build") from error


def open_index(shop: Shop, ahead: bool = False, before: OpenIndex | None = None) -> OpenIndex:
    """Open the index of `shop` for searching, after checking what is opened by its SHA-256.

    With `ahead` the encoder is being loaded in another thread from here on; what goes wrong with it
    is raised by `load` or by the first search. The encoder of `before` is used again where it is
    the same.

    Raises:
        IndexMissing, IndexDamaged, IndexForeign, IndexNewer: nothing can be answered from it.
    """
    for left in reversed(range(TRIES)):
        manifest = read_manifest(shop.index, shop.root)
        encoder = before.same_encoder(manifest) if before else None
        if encoder is None and ahead and not manifest.no_model:
            encoder = start_loading(shop, manifest)
        from benchlore.index.store import Store

        try:
            store = Store(verify(shop.index, manifest.store))
            return OpenIndex(shop, manifest, store, encoder)
        except IndexDamaged:
            if left == 0 or read_manifest(shop.index, shop.root) == manifest:
                raise
    raise AssertionError("unreachable")
