"""Questions with the features of every note, for fitting and measuring the ranking."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import numpy.typing as npt
from tests.questions import ROOTS, Judged, questions

from benchlore.index.build import build
from benchlore.index.opened import OpenIndex, open_index
from benchlore.search.engine import Engine
from benchlore.search.feedback import feed_back
from benchlore.search.results import Question
from benchlore.search.scoring import FEATURES, Model
from benchlore.shop import find_shop

EVERY = 100_000
"""More results than any of the shops has notes: then all that are candidates are compared."""


@dataclass(frozen=True, slots=True)
class Rated:
    """A question, and its case notes with features and judgements.

    Attributes:
        family: theme of the notes concerned, with the shop's name; never split by a fold.
        features: float64 (notes, features).
        symptoms, wholes: vectors of the notes, (notes, dimensions).
        grades: 2 close, 1 related, 0 neither.
        before: places of notes that must be ordered, the better first.
    """

    judged: Judged
    family: str
    features: npt.NDArray[np.float64]
    symptoms: npt.NDArray[np.float32]
    wholes: npt.NDArray[np.float32]
    grades: npt.NDArray[np.int64]
    before: tuple[tuple[int, int], ...]

    def renewed(self, model: Model) -> Rated:
        """The same with the likeness to the best notes as `model` has it."""
        features = self.features.copy()
        feed_back(features, self.symptoms, self.wholes, np.arange(len(features)), model)
        return replace(self, features=features)

    def order(self, model: Model) -> npt.NDArray[np.intp]:
        """Places of the notes, best first."""
        return np.argsort(-model.scores(self.features), kind="stable")

    def without_judged(self) -> Rated:
        """The same question in a workshop that never had these cases."""
        left = self.grades == 0
        return replace(
            self,
            features=self.features[left],
            symptoms=self.symptoms[left],
            wholes=self.wholes[left],
            grades=self.grades[left],
            before=(),
        )


def indexes() -> dict[str, OpenIndex]:
    """The open index of each shop; that of the demo shop must be built, others are made."""
    found = {}
    for shop, root in ROOTS.items():
        if shop == "demo":
            found[shop] = open_index(find_shop(str(root)))
            continue
        folder = Path(tempfile.gettempdir()) / f"benchlore-{shop}-index"
        where = find_shop(str(root), str(folder))
        build(where, lambda progress: None)
        found[shop] = open_index(where)
    return found


def ask_all(half: str) -> list[Rated]:
    """Collect the features of one half of the questions of all shops."""
    found = []
    for shop, index in indexes().items():
        engine = Engine(index)
        found += [rated(engine, shop, judged) for judged in questions(half, shop)]
    return found


def rated(engine: Engine, shop: str, judged: Judged) -> Rated:
    """Ask one question; notes that are no candidates at all are left out."""
    ranking = engine.rank(Question(judged.text, limit=EVERY))
    cases = [note for note in ranking.notes if note.is_case]
    stored = engine.index.store.notes(note.number for note in cases)
    files = [stored[note.number].note.path for note in cases]
    places = {file: place for place, file in enumerate(files)}
    family = judged.family if judged.family != "none" else judged.id
    rows = [note.row for note in cases]
    return Rated(
        judged,
        f"{shop}: {family}",
        np.array([note.features for note in cases]).reshape(-1, len(FEATURES)),
        engine.table.symptoms[rows],
        engine.table.wholes[rows],
        np.array([judged.grade(file) for file in files]),
        tuple((places[a], places[b]) for a, b in judged.before if a in places and b in places),
    )


def graded_ndcg(each: Rated, model: Model) -> float:
    """nDCG@10 with linear gain, judged notes that are no candidates counted as missed."""
    gains = each.grades[each.order(model)[:10]]
    best = [2] * len(each.judged.close) + [1] * len(each.judged.related)
    return _dcg(gains) / _dcg(np.array(best[:10]))


def _dcg(gains: npt.NDArray[np.int64]) -> float:
    return float((gains / np.log2(np.arange(2, len(gains) + 2))).sum())


def ordered_pairs(each: Rated, model: Model) -> list[bool]:
    """For each pair that must be ordered whether it is."""
    values = model.scores(each.features)
    return [bool(values[a] > values[b]) for a, b in each.before]
