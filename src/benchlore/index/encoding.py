"""Filling a new store with the vectors it lacks, and making the FAISS file from them."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from benchlore.index.encoded import EncodedSoFar
from benchlore.index.encoder import Encoder, Vectors
from benchlore.index.manifest import Sealed, seal
from benchlore.index.progress import Progress, Report
from benchlore.index.vectors import VectorIndex
from benchlore.index.writing import StoreWriter

CHUNK = 256
"""Texts encoded between two reports; an interrupted build loses at most these."""

STALE_SHARE = 0.1
"""The FAISS file is made anew when this share of its passages is new or gone. Till then a search
takes the new ones from the store when it opens, about 1 ms for a thousand."""

Pair = tuple[bytes, str]
"""Hash and text of a passage."""

LEAST_LENGTH, MOST_LENGTH = 0.9, 1.1
"""Between these is the length of a vector of length 1, however rounded."""


def add_missing_vectors(
    writer: StoreWriter, encoder: Encoder, so_far: EncodedSoFar, report: Report
) -> int:
    """Give every text in the store its vector; return how many were encoded.

    What an interrupted build has left in `so_far` is taken from there.
    """
    missing = writer.texts_without_vector()
    kept = so_far.get(key for key, _ in missing)
    writer.add_vectors(kept)
    have = {key for key, _ in kept}
    todo = [pair for pair in missing if pair[0] not in have]
    # Like lengths together: a long text in each batch would pad all its neighbours.
    todo.sort(key=lambda pair: len(pair[1]))
    for chunk in _reported(todo, report):
        rows = encoded_rows(chunk, encoder.encode)
        so_far.put(rows)
        writer.add_vectors(rows)
    return len(todo)


def encoded_rows(
    pairs: Sequence[Pair], encode: Callable[[Sequence[str]], Vectors]
) -> list[tuple[bytes, bytes]]:
    """Encode the texts of `pairs` (hash, text); return (hash, vector as stored) of each.

    A text for which the model gives no direction (not a number, or of no length) is left out: it
    would spoil every comparison. Its passage is found by its words.
    """
    vectors = encode([text for _, text in pairs])
    lengths = np.linalg.norm(vectors, axis=1)
    # Not `lengths < LEAST`: that is false for what is not a number.
    sound = (lengths >= LEAST_LENGTH) & (lengths <= MOST_LENGTH)
    stored = vectors.astype("<f2")
    return [(pairs[row][0], stored[row].tobytes()) for row in np.flatnonzero(sound).tolist()]


def _reported(todo: list[Pair], report: Report) -> Iterator[list[Pair]]:
    """Yield `todo` in chunks, saying before each how long the rest will take.

    Time goes by characters, as that is what encoding costs; `stage` counts texts.
    """
    weights = [
        len(text) + 40 for _, text in todo
    ]  # 40: what even an empty text costs, in characters
    total, done, started = sum(weights), 0, time.monotonic()
    for start in range(0, len(todo), CHUNK):
        spent = time.monotonic() - started
        left = spent / done * (total - done) if done else None
        report(Progress("reading passages into the sentence model", start, len(todo), left))
        chunk = todo[start : start + CHUNK]
        yield chunk
        done += sum(weights[start : start + CHUNK])


@dataclass(frozen=True, slots=True)
class SealedVectors:
    """A FAISS file, the newest passage number it covers, and how many passages it holds."""

    sealed: Sealed
    newest: int
    count: int


def make_faiss(writer: StoreWriter, dimensions: int, folder: Path, name: str) -> SealedVectors:
    """Write all vectors of the store to the FAISS file `folder / name` and seal it."""
    index = VectorIndex(dimensions)
    newest = 0
    for numbers, vectors in writer.passage_vectors():
        index.add(numbers, np.ascontiguousarray(vectors))
        newest = numbers[-1]
    index.save(folder / name)
    return SealedVectors(seal(folder, name), newest, len(index))


def is_fresh_enough(writer: StoreWriter, before: SealedVectors) -> bool:
    """True while few enough passages have come or gone since the FAISS file was made."""
    live, new = writer.passage_count(), writer.passage_count(above=before.newest)
    gone = before.count - (live - new)
    return new + gone <= STALE_SHARE * max(before.count, 1)
