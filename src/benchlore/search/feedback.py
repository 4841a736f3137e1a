"""Notes like the best ones: what the best cases of a question are about, others may be as well."""

from __future__ import annotations

import numpy as np

from benchlore.index.encoder import Vectors
from benchlore.index.note_table import Places
from benchlore.search.scoring import FEATURES, Matrix, Model


def feed_back(
    features: Matrix, symptoms: Vectors, wholes: Vectors, among: Places, model: Model
) -> None:
    """Fill in how like each note is to those of `among` that score best by the other features.

    Rocchio's relevance feedback (in Salton, "The SMART Retrieval System", 1971) with the best taken
    for relevant, each weighted by its score. `features`, `symptoms` and `wholes` have a row a note;
    the columns `FEEDBACK` of `features` are overwritten.
    """
    pairs = (("like_best_symptom", symptoms), ("like_best_whole", wholes))
    for name, _ in pairs:
        features[:, FEATURES.index(name)] = 0.0
    if not len(among):
        return
    scores = model.scores(features)
    best = among[np.argsort(-scores[among], kind="stable")[: model.feedback_notes]]
    weights = np.exp((scores[best] - scores[best[0]]) / model.feedback_temperature)
    weights /= weights.sum()
    for name, vectors in pairs:
        features[:, FEATURES.index(name)] = vectors @ (weights @ vectors[best])
