"""Search quality beside the obvious ways: `python -m tests.benchmarks.quality [fit|held]`.

Over the held-back halves of the question sets of two workshops: nDCG@10 and the first place by
ir-measures, pairs in the right order, and how many questions without an answer are recognised. The
same for benchlore with its vocabulary emptied: it must not stand on a word list alone.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import bm25s
import ir_measures
import snowballstemmer
from ir_measures import Success, nDCG
from tests.benchmarks.rated import indexes
from tests.questions import Judged, questions

from benchlore.index.build import build
from benchlore.index.manifest import MANIFEST
from benchlore.index.opened import OpenIndex, open_index
from benchlore.language import vocabulary
from benchlore.language.vocabulary import Vocabulary
from benchlore.search.engine import Engine
from benchlore.search.results import Question

DEEP = 60
RRF_K = 60
"""Cormack, Clarke & Buettcher 2009, "Reciprocal Rank Fusion outperforms Condorcet"."""

Ranking = dict[str, float]
"""Case files with their scores."""


@dataclass(frozen=True, slots=True)
class Passages:
    """The passages of all case notes, as the peers search them."""

    texts: list[str]
    files: list[str]


def case_passages(index: OpenIndex) -> Passages:
    notes = [s for s in index.store.all_notes() if s.note.kind == "case"]
    files = {stored.number: stored.note.path for stored in notes}
    read = index.store.passages(index.store.passages_of(files))
    read.sort(key=lambda passage: passage.number)
    return Passages([p.text for p in read], [files[p.note] for p in read])


def by_benchlore(engine: Engine) -> Callable[[str], Ranking]:
    def search(text: str) -> Ranking:
        hits = engine.find(Question(text, limit=DEEP)).cases
        return {hit.note.path: hit.score for hit in hits}

    return search


def by_chance(engine: Engine) -> Callable[[str], float]:
    """The best chance that benchlore gives any case among those that a technician sees."""

    def search(text: str) -> float:
        return max((hit.chance for hit in engine.find(Question(text)).cases), default=0.0)

    return search


def by_bm25s(passages: Passages) -> Callable[[str], Ranking]:
    stem = snowballstemmer.stemmer("english").stemWords
    index = bm25s.BM25()
    index.index(
        bm25s.tokenize(passages.texts, stopwords="en", stemmer=stem, show_progress=False),
        show_progress=False,
    )

    def search(text: str) -> Ranking:
        words = bm25s.tokenize(text, stopwords="en", stemmer=stem, show_progress=False)
        found, scores = index.retrieve(words, k=len(passages.texts), show_progress=False)
        return _best_of_each(passages, found[0], scores[0])

    return search


def by_vectors(index: OpenIndex, passages: Passages) -> Callable[[str], Ranking]:
    """Plain sentence vectors, exhaustively: the exported encoder equals sentence-transformers."""
    vectors = index.encode_all(passages.texts)

    def search(text: str) -> Ranking:
        cosines = vectors @ index.encode(text)
        return _best_of_each(passages, range(len(passages.texts)), cosines)

    return search


def _best_of_each(passages: Passages, found: Sequence[int], scores: Sequence[float]) -> Ranking:
    best: Ranking = {}
    for number, score in zip(found, scores, strict=True):
        file = passages.files[int(number)]
        best[file] = max(best.get(file, float("-inf")), float(score))
    return best


def fused(searches: Sequence[Callable[[str], Ranking]]) -> Callable[[str], Ranking]:
    """Reciprocal rank fusion."""

    def search(text: str) -> Ranking:
        total: Ranking = {}
        for each in searches:
            ranking = each(text)
            ordered = sorted(ranking, key=lambda file: (-ranking[file], file))
            for rank, file in enumerate(ordered, start=1):
                total[file] = total.get(file, 0.0) + 1 / (RRF_K + rank)
        return total

    return search


@dataclass(frozen=True, slots=True)
class Quality:
    """Figures of one way to search, each 0..1.

    Attributes:
        ndcg: nDCG@10 over the questions with an answer (gain 2 close, 1 related).
        by_kind: the same by kind.
        pairs: pairs in the right order.
        first: codes questions with a close case in first place.
        recognised: questions without an answer that score below all but 5 % of the others.
        said, alarms: of the questions without an answer, and of those with one, the share that
            benchlore says has nothing close; 0 for the others, which say no such thing.
    """

    ndcg: float
    by_kind: Mapping[str, float]
    pairs: float
    first: float
    recognised: float
    said: float = 0.0
    alarms: float = 0.0


def measure(
    search: Callable[[str], Ranking],
    asked: Sequence[Judged],
    certainty: Callable[[str], float] | None = None,
    far_below: float = 0.0,
) -> Quality:
    """Search all of `asked`; a question is taken to have no answer where the best score is low.

    `certainty` gives another figure for that than the best score; below `far_below` of it the
    program itself says that nothing is close.
    """
    runs = {each.id: search(each.text) for each in asked}
    answered = [each for each in asked if each.has_answer]
    gain = nDCG @ 10
    values = _by_question(gain, answered, runs)
    kinds = sorted({each.kind for each in answered})
    ordered = [
        runs[each.id].get(a, float("-inf")) > runs[each.id].get(b, float("-inf"))
        for each in answered
        for a, b in each.before
    ]
    codes = [each for each in answered if each.kind == "code"]
    first = _by_question(Success(rel=2) @ 1, codes, runs)
    best = {
        each.id: certainty(each.text) if certainty else max(runs[each.id].values())
        for each in asked
    }
    known = sorted(best[each.id] for each in answered)
    limit = known[int(0.05 * len(known))]
    without = [each for each in asked if not each.has_answer]
    return Quality(
        _mean(list(values.values())),
        {kind: _mean([values[e.id] for e in answered if e.kind == kind]) for kind in kinds},
        _mean(ordered),
        _mean(list(first.values())),
        _mean([best[each.id] < limit for each in without]),
        _mean([best[each.id] < far_below for each in without]),
        _mean([best[each.id] < far_below for each in answered]),
    )


def _by_question(
    gain: object, asked: Sequence[Judged], runs: Mapping[str, Ranking]
) -> dict[str, float]:
    # Numbers in place of files: the measures' own file formats know no spaces.
    numbers: dict[str, str] = {}

    def number(file: str) -> str:
        return numbers.setdefault(file, f"n{len(numbers)}")

    qrels = [
        ir_measures.Qrel(each.id, number(file), each.grade(file))
        for each in asked
        for file in (*each.close, *each.related)
    ]
    run = [ir_measures.ScoredDoc(e.id, number(f), s) for e in asked for f, s in runs[e.id].items()]
    return {m.query_id: float(m.value) for m in ir_measures.iter_calc([gain], qrels, run)}


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values) if values else 0.0


def table(rows: Mapping[str, Quality]) -> str:
    """A Markdown table, a row for each way to search."""
    kinds = list(next(iter(rows.values())).by_kind)
    head = ["", "nDCG@10", *kinds, "pairs", "codes first", "no answer recognised"]
    head += ["said far", "false alarms"]
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    for name, q in rows.items():
        cells = [q.ndcg, *(q.by_kind[k] for k in kinds), q.pairs, q.first, q.recognised]
        cells += [q.said, q.alarms]
        lines.append(f"| {name} | " + " | ".join(f"{cell:.3f}" for cell in cells) + " |")
    return "\n".join(lines)


def emptied(index: OpenIndex) -> Engine:
    """A search whose vocabulary is empty, over an index that was made with it."""
    folder = Path(tempfile.mkdtemp(prefix="benchlore-emptied-"))
    for sealed in index.manifest.files():
        shutil.copy(index.shop.index / sealed.file, folder)
    shutil.copy(index.shop.index / MANIFEST, folder)
    vocabulary.use(Vocabulary())
    try:
        shop = replace(index.shop, index=folder)
        build(shop, lambda progress: None)
        return Engine(open_index(shop))
    finally:
        vocabulary.use(None)


def with_empty_words(search: Callable[[str], Any]) -> Callable[[str], Any]:
    def searched(text: str) -> Any:  # noqa: ANN401
        vocabulary.use(Vocabulary())
        try:
            return search(text)
        finally:
            vocabulary.use(None)

    return searched


def compared(shop: str, index: OpenIndex, asked: Sequence[Judged]) -> dict[str, Quality]:
    """All ways to search, on one shop."""
    engine, bare = Engine(index), emptied(index)
    passages = case_passages(index)
    words, vectors = by_bm25s(passages), by_vectors(index, passages)
    far_below = engine.model.related_from
    return {
        "benchlore": measure(by_benchlore(engine), asked, by_chance(engine), far_below),
        "the same, vocabulary emptied": measure(
            with_empty_words(by_benchlore(bare)),
            asked,
            with_empty_words(by_chance(bare)),
            far_below,
        ),
        "bm25s": measure(words, asked),
        "passage vectors": measure(vectors, asked),
        "rank fusion of both": measure(fused([words, vectors]), asked),
    }


def main(half: str = "held") -> None:
    """Print a table for each shop, over one half of its questions."""
    for shop, index in indexes().items():
        asked = questions(half, shop)
        print(f"{shop}: {len(asked)} questions, half {half!r}\n")
        print(table(compared(shop, index, asked)) + "\n")


if __name__ == "__main__":
    main(*sys.argv[1:2])
