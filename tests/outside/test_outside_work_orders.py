"""Search over real maintenance work orders, beside the two obvious ways to search them."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import bm25s
import faiss
import pytest
import snowballstemmer
from sentence_transformers import SentenceTransformer

import opendata
from benchlore.search.engine import Engine
from benchlore.search.results import Question
from outside.searched import ShopOf

TOP = 10
QUERIES = 300
SEED = 5485
DEEP = 100
"""Results asked for: ten, the query's own order and all that read the same (at most 42)."""

Search = Callable[[int], list[int]]
"""From the number of an order to the numbers of those nearest to its text, best first."""


@dataclass(frozen=True, slots=True)
class Orders:
    """The work orders, by number. `same` is a text as compared: case and spaces do not count."""

    texts: Sequence[str]
    parts: Sequence[str]
    same: Sequence[str]

    def frequent(self) -> list[int]:
        """Orders whose part occurs often enough for ten others to be found."""
        counts = Counter(self.parts)
        return [n for n, part in enumerate(self.parts) if part and counts[part] > TOP]


@pytest.fixture(scope="module")
def orders() -> Orders:
    read = opendata.work_orders(opendata.needed(opendata.WORK_ORDERS))
    texts = [order.text for order in read]
    same = [" ".join(text.casefold().split()) for text in texts]
    return Orders(texts, [order.part for order in read], same)


def precision(orders: Orders, queries: Sequence[int], search: Search) -> float:
    """Mean share of the ten nearest that bear the query's part label; equal texts are left out."""
    right = 0
    for query in queries:
        near = [n for n in search(query) if orders.same[n] != orders.same[query]][:TOP]
        right += sum(orders.parts[n] == orders.parts[query] for n in near)
    return right / (TOP * len(queries))


def by_benchlore(orders: Orders, engine: Engine) -> Search:
    def search(query: int) -> list[int]:
        answer = engine.find(Question(orders.texts[query], limit=DEEP))
        return [int(hit.note.path.removeprefix("kb/").removesuffix(".txt")) for hit in answer.cases]

    return search


def by_bm25s(orders: Orders) -> Search:
    """bm25s as its README shows it: English stop words, a stemmer, the library's own BM25."""
    stem = snowballstemmer.stemmer("english").stemWords
    index = bm25s.BM25()
    index.index(
        bm25s.tokenize(list(orders.texts), stopwords="en", stemmer=stem, show_progress=False),
        show_progress=False,
    )

    def search(query: int) -> list[int]:
        words = bm25s.tokenize(
            orders.texts[query], stopwords="en", stemmer=stem, show_progress=False
        )
        found, _ = index.retrieve(words, k=DEEP, show_progress=False)
        return [int(number) for number in found[0]]

    return search


def by_vectors(orders: Orders, model: SentenceTransformer) -> Search:
    """sentence-transformers' vectors in FAISS, the plain way: exhaustive, by cosine."""
    distinct = sorted(set(orders.texts))
    encoded = model.encode(distinct, normalize_embeddings=True)
    row = {text: number for number, text in enumerate(distinct)}
    vectors = encoded[[row[text] for text in orders.texts]]
    index = faiss.IndexFlatIP(vectors.shape[1])
    index.add(vectors)

    def search(query: int) -> list[int]:
        _, found = index.search(vectors[query : query + 1], DEEP)
        return [int(number) for number in found[0]]

    return search


def test_benchlore_finds_orders_on_the_same_part_at_least_as_well_as_either_peer(
    orders: Orders, shop_of: ShopOf, original: SentenceTransformer, figure: Callable[[str], None]
) -> None:
    """Source: the excavator work orders of Hodkiewicz & Ho 2016 (J. Quality in Maintenance
    Engineering 22(2), 146-163) with their part labels, out of nist-nestor 0.4.4.

    5,485 orders as notes of plain text; the text of 300 of them, chosen by seed among those whose
    part occurs at least 11 times, is the question; right is a result with the same part label.
    """
    engine = shop_of("orders", {f"{n:05}.txt": text for n, text in enumerate(orders.texts)})
    queries = random.Random(SEED).sample(orders.frequent(), QUERIES)
    ours = precision(orders, queries, by_benchlore(orders, engine))
    words = precision(orders, queries, by_bm25s(orders))
    vectors = precision(orders, queries, by_vectors(orders, original))
    figure(
        f"precision@{TOP} over {QUERIES} work orders: benchlore {ours:.3f}, bm25s {words:.3f}, "
        f"sentence-transformers + FAISS {vectors:.3f}"
    )
    assert ours >= max(words, vectors)
