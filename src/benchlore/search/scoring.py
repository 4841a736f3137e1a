"""The ranking model: which features a note has for a question, and the weights that join them.

The score of a note is the weighted sum of its features. The weights stand in `weights.toml`; they
are fitted by `python -m tests.benchmarks.fit` and nothing in the code overrules them.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Literal

import numpy as np
import numpy.typing as npt

Closeness = Literal["close", "related", "far"]

FEATURES = (
    "symptom",  # cosine of the question to the note's symptom
    "whole",  # cosine of the question to the note as a whole
    "passage",  # cosine of the question to the note's best passage
    "words",  # BM25 of the question's words over the whole note, 0..1
    "parts",  # share of the parts named in the question that the note names
    "no_parts",  # share of the parts named in the question that it does not name
    "new_parts",  # share of the parts named in the question that no note at all names
    "tokens",  # exact tokens that the note states, by their strength
    "machine",  # exact tokens that only its machine line states
    "values",  # measured values of the question that the note has a near one for
    "agree",  # conditions in which question and note agree
    "conflict",  # conditions in which they contradict each other
    "conditions",  # how much the question's conditions tell in all, met or not
    "unknown",  # share of the question's words that no note knows
    "like_best_symptom",  # cosine of its symptom to those of the notes that score best
    "like_best_whole",  # likewise of the note as a whole
)
FEEDBACK = ("like_best_symptom", "like_best_whole")
"""Known only after a first ranking by all the other features."""

FROM_VECTORS = ("symptom", "whole", "passage", *FEEDBACK)
"""Those that need a sentence model."""

Matrix = npt.NDArray[np.float64]
"""Features of notes: shape (notes, len(FEATURES))."""

WEIGHTS_FILE = Path(__file__).with_name("weights.toml")


@dataclass(frozen=True, slots=True)
class Model:
    """Weights by feature, in the order of `FEATURES`.

    Attributes:
        score: of the ranking.
        chance: of the chance that a technician would call the case useful, in logits.
        offset: of the same.
        close_from, related_from: the chance from which a case is called close, or related.
        feedback_notes: best notes that the others are compared with.
        feedback_temperature: a note that scores this much less than the best counts 1/e of it.
    """

    score: npt.NDArray[np.float64]
    chance: npt.NDArray[np.float64]
    offset: float
    close_from: float
    related_from: float
    feedback_notes: int
    feedback_temperature: float

    def scores(self, features: Matrix) -> npt.NDArray[np.float64]:
        """Return the score of each note; higher is nearer."""
        return features @ self.score

    def chances(self, features: Matrix) -> npt.NDArray[np.float64]:
        """Return for each note the chance, 0..1, that it is useful: logistic regression."""
        chance: npt.NDArray[np.float64] = 1 / (1 + np.exp(-(features @ self.chance + self.offset)))
        return chance

    def closeness(self, chance: float) -> Closeness:
        if chance >= self.close_from:
            return "close"
        return "related" if chance >= self.related_from else "far"


@lru_cache(maxsize=2)
def fitted_model(words_only: bool = False) -> Model:
    """Return the model of `weights.toml`; `words_only` is for an index without vectors."""
    tables = tomllib.loads(WEIGHTS_FILE.read_text("utf-8"))
    return read_model(tables["words_only" if words_only else "with_vectors"])


def read_model(tables: Mapping[str, Mapping[str, float]]) -> Model:
    """Make a model of its tables; a feature that is left out counts 0."""
    score, chance = tables["score"], tables["chance"]
    closeness, feedback = tables["closeness"], tables["feedback"]
    return Model(
        np.array([score.get(name, 0.0) for name in FEATURES]),
        np.array([chance.get(name, 0.0) for name in FEATURES]),
        chance["offset"],
        closeness["close_from"],
        closeness["related_from"],
        int(feedback["notes"]),
        feedback["temperature"],
    )


def rarity(count: float, total: int) -> float:
    """Inverse document frequency of something that stands in `count` of `total` notes.

    ln(1 + (N - n + 0.5) / (n + 0.5)): Robertson and Sparck Jones' weight, kept positive (Robertson
    & Zaragoza 2009, "The Probabilistic Relevance Framework: BM25 and Beyond", eq. 3.3 with + 1).
    """
    return math.log(1 + (max(total - count, 0) + 0.5) / (count + 0.5))


NAMING = 5
"""Letters and digits from which a token is taken for a name that means one thing. "4WD" and "M8"
mean much less than "HD22", and that less than "P0301": common practice, no source."""


def token_strength(token: str, count: int, total: int, is_code: bool) -> float:
    """How much an exact token in `count` of `total` notes counts, 0..1.

    A trouble code is what was asked for even where some dozens of notes state it: it counts by its
    `rarity`. Another token that stands in many notes is a name of theirs (a machine, a position)
    more than a find: 1 / count, so that only rare ones outrank likeness; and short ones less.
    """
    if is_code:
        return rarity(count, total) / rarity(1, total)
    naming = min(1.0, (len(token) - 1) / (NAMING - 1))
    return naming**2 / max(count, 1)


K1, B = 1.2, 0.75
"""Of BM25, as usual (Robertson & Zaragoza 2009, section 3.5)."""


def bm25(
    counts: npt.NDArray[np.int64],
    lengths: npt.NDArray[np.float32],
    mean_length: float,
) -> npt.NDArray[np.float64]:
    """Return a word's part of BM25, without its rarity, as a share of the most it can be: 0..1.

    tf / (tf + k1 (1 - b + b L / mean L)); Robertson & Zaragoza 2009, eq. 3.15. `counts` and
    `lengths` are of the notes that hold the word.
    """
    room = K1 * (1 - B + B * lengths / max(mean_length, 1.0))
    part: npt.NDArray[np.float64] = counts / (counts + room)
    return part
