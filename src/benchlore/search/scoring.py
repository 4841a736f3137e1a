"""How near a passage is to a question: small formulas, and the weights that join them."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Weights:
    """What each kind of likeness counts, beside the cosine of the sentence model, which counts 1.

    Attributes:
        words: for sharing all words of the question that any note knows.
        token: for stating all exact tokens of the question, each by `token_strength`.
        machine: likewise for tokens that stand in the machine line only: an engine code that a
            tenth of the notes share must not outrank the symptom.
        more: for the second and third passage of the same note, by their own score.
    """

    words: float = 0.25
    token: float = 1.0
    machine: float = 0.15
    more: float = 0.03


WEIGHTS = Weights()


def rarity(count: int, total: int) -> float:
    """Inverse document frequency of something that stands in `count` of `total` passages.

    ln(1 + (N - n + 0.5) / (n + 0.5)): Robertson and Sparck Jones' weight, kept positive (Robertson
    & Zaragoza 2009, "The Probabilistic Relevance Framework: BM25 and Beyond", eq. 3.3 with + 1).
    """
    return math.log(1 + (max(total - count, 0) + 0.5) / (count + 0.5))


def token_strength(count: int, total: int, is_code: bool) -> float:
    """How much an exact token in `count` of `total` passages counts, 0..1; 1 when it is in one.

    A trouble code is what was asked for even where some dozens of notes state it: it counts by its
    `rarity`. Another token that stands in many notes is a name of theirs (a machine, a position)
    more than a find: 1 / count, so that only rare ones outrank likeness.
    """
    if is_code:
        return rarity(count, total) / rarity(1, total)
    return 1 / max(count, 1)


def share(weights: Mapping[str, float], present: Collection[str]) -> float:
    """The part of the total weight that is present, 0..1; 0 when there is no weight at all."""
    total = sum(weights.values())
    return sum(w for name, w in weights.items() if name in present) / total if total else 0.0


def note_score(passages: list[float], weights: Weights) -> float:
    """Join one note's passage scores, best first: the best, and a little for the next two."""
    return passages[0] + weights.more * sum(max(score, 0.0) for score in passages[1:3])
