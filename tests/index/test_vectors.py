"""A search over vectors finds the same however it is done; passages are known by their notes."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest

from benchlore.index import vectors
from benchlore.index.few_vectors import FewVectors
from benchlore.index.note_table import note_table
from benchlore.index.vectors import VectorIndex

NUMBERS = np.arange(10, 2010, 2)  # with gaps, as passages that are gone leave them


def made(seed: int, count: int) -> npt.NDArray[np.float32]:
    """Unit vectors that float16 holds exactly, as those in a store are."""
    drawn = np.random.default_rng(seed).normal(size=(count, 384))
    drawn /= np.linalg.norm(drawn, axis=1, keepdims=True)
    return drawn.astype(np.float16).astype(np.float32)


@pytest.fixture(params=["whole", "halved", "few"])
def index(
    request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch
) -> VectorIndex | FewVectors:
    """The same 1,000 vectors, the last ten like the first ten, in each kind of index."""
    stored = made(1, len(NUMBERS))
    stored[-10:] = stored[:10]
    monkeypatch.setattr(vectors, "HALVED_FROM", 0 if request.param == "halved" else 10**9)
    if request.param == "few":
        return FewVectors(NUMBERS, stored)
    many = VectorIndex(384)
    many.add(NUMBERS, stored)
    return many


def exact(query: npt.NDArray[np.float32], among: list[int] | None = None) -> list[int]:
    """Passage numbers by float64 cosines, best first, equal ones by number."""
    stored = made(1, len(NUMBERS)).astype(np.float64)
    stored[-10:] = stored[:10]
    cosines = dict(zip(NUMBERS.tolist(), (stored @ query).tolist(), strict=True))
    return sorted(among or cosines, key=lambda number: (-round(cosines[number], 9), number))


def test_the_nearest_are_those_of_an_exact_search(index: VectorIndex | FewVectors) -> None:
    """Source: float64 dot products in numpy."""
    for query in made(2, 20):
        assert [number for number, _ in index.nearest(query, 50)] == exact(query)[:50]


def test_equal_vectors_come_by_number(index: VectorIndex | FewVectors) -> None:
    for place, query in enumerate(made(1, 10)):
        (first, one), (second, two) = index.nearest(query, 2)
        assert (first, second) == (NUMBERS[place], NUMBERS[place - 10])
        assert one == two


def test_only_the_passages_named_are_searched(index: VectorIndex | FewVectors) -> None:
    among = NUMBERS[::7].tolist()
    query = made(3, 1)[0]
    assert [number for number, _ in index.nearest(query, 20, among)] == exact(query, among)[:20]
    assert len(index.nearest(query, 500, among)) == len(among)
    assert index.nearest(query, 20, []) == []


def test_vectors_are_returned_as_they_were_stored(index: VectorIndex | FewVectors) -> None:
    assert np.array_equal(index.of(NUMBERS[5:900:100].tolist()), made(1, 1000)[5:900:100])


def test_passages_are_known_by_their_note() -> None:
    rows = [(number, "case", 3, None, bytes(768)) for number in (2, 3, 7, 9)]
    table = note_table(rows, {2: (5, 8), 7: (12, 12), 9: (14, 20)}, {9: 15})
    numbers = np.array([1, 5, 8, 9, 11, 12, 13, 14, 20, 21])
    assert table.rows_of_passages(numbers).tolist() == [-1, 0, 0, -1, -1, 2, -1, 3, 3, -1]
    assert table.places(np.array([9, 2, 7])).tolist() == [3, 0, 2]
    assert table.machine_passages.tolist() == [0, 0, 0, 15]
