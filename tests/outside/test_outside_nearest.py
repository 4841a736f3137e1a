"""FAISS finds what an exhaustive search in numpy finds."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from benchlore.index.encoder import Encoder, Vectors
from benchlore.index.vectors import VectorIndex
from benchlore.search.engine import Engine

TOP = 10
MANY = 80_000
ROUNDING = 1e-6
"""Cosines nearer than this are equal: sums of float32 in another order differ by less."""

QUESTIONS = (
    "hums from 50, louder in left-handers, gone when coasting",
    "knocks over small bumps at the front",
    "cranks but will not start when hot",
    "battery flat after a weekend",
    "P0301",
    "water in the passenger footwell after rain",
    "brake pedal pulses from motorway speed",
    "blue smoke on the overrun",
    "clutch judders pulling away in reverse",
    "temperature climbs in traffic, fine on the open road",
)


def everything_stored(demo: Engine) -> tuple[list[int], Vectors]:
    """Every passage of the demo shop with its vector as SQLite has it."""
    pieces = list(demo.index.store.passage_vectors(0))
    numbers = [number for piece, _ in pieces for number in piece]
    return numbers, np.concatenate([vectors for _, vectors in pieces])


def test_top_ten_on_the_demo_shop_are_those_of_an_exact_search(
    demo: Engine, exported: Encoder
) -> None:
    """Source: float64 dot products in numpy over every stored vector.

    Passages whose cosine equals the tenth's are each as right as the other; all nearer ones must be
    there, and none that is farther.
    """
    numbers, stored = everything_stored(demo)
    for question in (*QUESTIONS, *(case_symptoms(demo))):
        vector = exported.encode([question])[0]
        exact = dict(zip(numbers, (stored.astype(np.float64) @ vector).tolist(), strict=True))
        tenth = sorted(exact.values())[-TOP]
        found = demo.index.nearest(vector, TOP)
        assert len(found) == TOP
        got = {number for number, _ in found}
        surely = {number for number, cosine in exact.items() if cosine > tenth + ROUNDING}
        assert surely <= got, question
        assert all(exact[number] >= tenth - ROUNDING for number in got), question
        assert all(abs(exact[n] - cosine) < ROUNDING for n, cosine in found), question


def case_symptoms(demo: Engine) -> list[str]:
    """The symptom of every note in the demo shop."""
    return [
        stored.note.symptom.text for stored in demo.index.store.all_notes() if stored.note.symptom
    ]


def mixed(stored: Vectors, count: int, dice: np.random.Generator) -> Vectors:
    """`count` unit vectors, each between two stored ones and a little beside them."""
    one, other = (stored[dice.integers(len(stored), size=count)] for _ in range(2))
    part = dice.uniform(0.3, 1.0, size=(count, 1))
    aside = dice.normal(scale=0.3 / np.sqrt(stored.shape[1]), size=one.shape)
    made = part * one + (1 - part) * other + aside
    return np.ascontiguousarray(
        made / np.linalg.norm(made, axis=1, keepdims=True), dtype=np.float32
    )


def exact_top(vectors: Vectors, query: Vectors) -> npt.NDArray[np.int64]:
    """Row numbers of the `TOP` nearest among unrounded vectors."""
    cosines = vectors.astype(np.float64) @ query.astype(np.float64)
    return np.argsort(-cosines, kind="stable")[:TOP]


def test_recall_at_ten_over_80000_vectors(
    demo: Engine, exported: Encoder, figure: Callable[[str], None]
) -> None:
    """Source: float64 dot products in numpy over the float32 vectors, before FAISS rounds them.

    The vectors are made from the demo shop's by mixing and shifting, seed 80000; questions are
    real ones and vectors made in the same way.
    """
    dice = np.random.default_rng(MANY)
    _, stored = everything_stored(demo)
    vectors = mixed(stored, MANY, dice)
    index = VectorIndex(vectors.shape[1])
    index.add(np.arange(MANY), vectors)
    queries = [*exported.encode(QUESTIONS), *mixed(stored, 90, dice)]
    shared = 0
    for query in queries:
        found = {number for number, _ in index.nearest(query, TOP)}
        shared += len(found & set(exact_top(vectors, query).tolist()))
    recall = shared / (TOP * len(queries))
    figure(f"recall@{TOP} over {MANY} vectors: {recall:.4f}")
    assert recall >= 0.99
