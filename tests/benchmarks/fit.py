"""Fits the weights of the ranking: `python -m tests.benchmarks.fit [--write]`.

On the `fit` halves of the question sets of two workshops (`tests/questions.py`); the `held` halves
are not looked at. Prints what cross-validation by family says of weights fitted like this, then the
weights; `--write` puts them into `weights.toml`.

Ranking: pairwise logistic loss (RankNet: Burges et al. 2005, "Learning to Rank using Gradient
Descent"), each question counting alike, pairs that must be ordered counting `ORDERED` each; every
weight is held to the sign that its feature has by what it means, so that it cannot learn a
workshop's accidents. Chance: logistic regression on the best notes of each question, useful where
they are judged close or related. A question is also asked with all its judged notes taken away:
then nothing that is left is useful.
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from scipy.optimize import minimize
from tests.benchmarks.rated import Rated, ask_all, graded_ndcg, ordered_pairs

from benchlore.search.scoring import (
    FEATURES,
    FEEDBACK,
    FROM_VECTORS,
    WEIGHTS_FILE,
    Model,
    fitted_model,
)

Floats = npt.NDArray[np.float64]

ROUNDS = 3
"""The likeness to the best notes depends on the weights: they are fitted again with it renewed."""

ORDERED = 3.0
"""Weight of a pair that must be ordered; all other pairs of a question weigh this together."""

RIDGE = 0.1
"""Weight of the squared weights in the loss: what keeps a weight small that tells nothing."""

WORST = 30
"""Unjudged notes of a question, best first, that the judged ones are compared with."""

TOP = 10
"""Notes of a question that the chance is fitted on: those that a technician sees."""

BARE = 0.3
"""Weight of a question that is asked with its judged notes taken away."""

FALSE_ALARMS = 0.05
"""Share of questions with an answer that may be told to have nothing close."""

CONFLICT_SHARE = 0.5
"""What a contradiction takes away, as a share of what an agreement brings. Left to itself the fit
gives it nothing, because contradicted cases are often judged worth reading; but a technician who is
shown one first is misled. 0.25 to 1 score alike in cross-validation, 0 worse."""

LEAST_AGREE = 0.2
"""Least weight of agreement, the largest weight being 1. The fit leaves it anywhere from 0.09 to
0.25 with hardly a difference in nDCG; in cross-validation 0.2 orders the most pairs (0.98), more
costs nDCG. When a symptom shows is what this tool exists for."""

DOWN = {"no_parts", "new_parts", "conflict", "conditions", "unknown"}
"""Features that can only lower a note."""

NEVER = {"new_parts", "conditions", "unknown"}
"""Alike for all notes of a question: not for the ranking. The feedback is not for the chance: the
best note is like itself, however far it is."""

FOLDS = 7


@dataclass(frozen=True, slots=True)
class Sums:
    """A loss over rows of features: sum of weight * log(1 + exp(-row . weights)), see `_least`."""

    rows: Floats
    weights: Floats


def score_pairs(rated: Iterable[Rated]) -> Sums:
    """Differences of features of notes that must be ordered, better minus worse."""
    rows: list[Floats] = []
    weights: list[float] = []
    for each in rated:
        if not each.judged.has_answer:
            continue
        close, related = np.flatnonzero(each.grades == 2), np.flatnonzero(each.grades == 1)
        others = np.flatnonzero(each.grades == 0)[:WORST]
        pairs = [(i, j, 1.0) for i in close for j in (*related, *others)]
        pairs += [(i, j, 0.3) for i in related for j in others]
        total = sum(weight for _, _, weight in pairs) or 1.0
        for i, j, weight in pairs:
            rows.append(each.features[i] - each.features[j])
            weights.append(ORDERED * weight / total)
        for i, j in each.before:
            rows.append(each.features[i] - each.features[j])
            weights.append(ORDERED)
    return Sums(np.array(rows), np.array(weights))


def _least(sums: Sums, bounds: Sequence[tuple[float | None, float | None]]) -> Floats:
    """The weights with the least loss, within `bounds`."""

    def loss(weights: Floats) -> tuple[float, Floats]:
        margin = sums.rows @ weights
        value = float((sums.weights * np.logaddexp(0, -margin)).sum())
        slope = -(sums.rows.T @ (sums.weights / (1 + np.exp(margin))))
        return value + RIDGE * float(weights @ weights) / 2, slope + RIDGE * weights

    start = np.array([0.0 if high == 0 == low else 0.5 if high is None else -0.5
                      for low, high in bounds])  # fmt: skip
    found = minimize(loss, start, jac=True, method="L-BFGS-B", bounds=bounds)
    weights: Floats = found.x
    return weights


def fit_score(rated: Iterable[Rated], without: Iterable[str] = ()) -> Floats:
    """The weights of the ranking; the largest but for exact tokens is 1.

    Features in `without` get none.
    """
    barred = NEVER.union(without)
    bounds = [_bound(name, barred) for name in FEATURES]
    pairs = score_pairs(rated)
    weights = _least(Sums(_tied(pairs.rows), pairs.weights), bounds)
    weights /= np.abs(weights).max()
    agree = FEATURES.index("agree")
    weights[agree] = max(weights[agree], LEAST_AGREE)
    weights = _untied(weights)
    tokens, machine = FEATURES.index("tokens"), FEATURES.index("machine")
    # Hardly a question names an engine, so the fit cannot tell: as much as a condition.
    weights[machine] = max(weights[machine], weights[agree])
    # A rare exact token must beat likeness, whatever the questions say: it weighs as much as all
    # the rest can bring together.
    rest = np.delete(weights, tokens)
    weights[tokens] = max(weights[tokens], float(rest[rest > 0].sum()))
    return weights


def _tied(rows: Floats) -> Floats:
    """Agreement with its share of the contradiction taken away, contradiction 0."""
    agree, conflict = FEATURES.index("agree"), FEATURES.index("conflict")
    tied = rows.copy()
    tied[:, agree] -= CONFLICT_SHARE * rows[:, conflict]
    tied[:, conflict] = 0.0
    return tied


def _untied(weights: Floats) -> Floats:
    """The weights for agreement and contradiction apart."""
    agree, conflict = FEATURES.index("agree"), FEATURES.index("conflict")
    untied = weights.copy()
    untied[conflict] = -CONFLICT_SHARE * weights[agree]
    return untied


def _bound(name: str, barred: set[str]) -> tuple[float | None, float | None]:
    if name in barred:
        return 0.0, 0.0
    return (None, 0.0) if name in DOWN else (0.0, None)


def chance_rows(rated: Iterable[Rated], model: Model) -> tuple[Floats, Floats, Floats]:
    """Features of the best notes of each question, whether they are useful, and their weights."""
    rows: list[Floats] = []
    useful: list[bool] = []
    weights: list[float] = []
    for each in rated:
        asked = [(each, 1.0)]
        if each.judged.has_answer:
            asked.append((each.without_judged(), BARE))
        for question, weight in asked:
            best = question.order(model)[:TOP]
            for place, note in enumerate(best):
                rows.append(question.features[note])
                useful.append(bool(question.grades[note]))
                # That of the best note decides what the technician is told.
                weights.append(weight * (3.0 if place == 0 else 0.3))
    return np.array(rows), np.array(useful), np.array(weights)


def fit_chance(
    rated: Iterable[Rated], model: Model, without: Iterable[str] = ()
) -> tuple[Floats, float]:
    """The weights of the chance, in logits, and its offset."""
    rows, useful, weights = chance_rows(rated, model)
    sign = np.where(useful, 1.0, -1.0)[:, None]
    signed = np.hstack([_tied(rows), np.ones((len(rows), 1))]) * sign
    barred = {*without, *FEEDBACK}
    bounds = [*(_bound(name, barred) for name in FEATURES), (None, None)]
    found = _least(Sums(signed, weights), bounds)
    return _untied(found[:-1]), float(found[-1])


def best_chances(rated: Sequence[Rated], model: Model) -> Floats:
    """For each question the highest chance among the notes that a technician sees."""
    return np.array(
        [
            model.chances(each.features[each.order(model)[:TOP]]).max() if len(each.grades) else 0.0
            for each in rated
        ]
    )


def fitted(rated: Sequence[Rated], model: Model, without: Iterable[str] = ()) -> Model:
    """Fit score and chance, starting from `model`; features in `without` get no weight."""
    model = replace(model, score=_without(model.score, (*without, *FEEDBACK)))
    for _ in range(ROUNDS):
        now = [each.renewed(model) for each in rated]
        model = replace(model, score=fit_score(now, without))
    now = [each.renewed(model) for each in rated]
    chance, offset = fit_chance(now, model, without)
    model = replace(model, chance=chance, offset=offset)
    chances = best_chances(now, model)
    answered = np.array([each.judged.has_answer for each in now])
    return replace(model, related_from=float(np.quantile(chances[answered], FALSE_ALARMS)))


def _without(weights: Floats, names: Iterable[str]) -> Floats:
    kept = weights.copy()
    kept[[FEATURES.index(name) for name in names]] = 0.0
    return kept


@dataclass(frozen=True, slots=True)
class Scores:
    """What the weights reach on questions that they were not fitted on."""

    ndcg: float
    pairs: float
    recognised: float
    false_alarms: float


def scores(rated: Sequence[Rated], model: Model) -> Scores:
    answered = [each for each in rated if each.judged.has_answer]
    ordered = [right for each in answered for right in ordered_pairs(each, model)]
    far = best_chances(rated, model) < model.related_from
    known = np.array([each.judged.has_answer for each in rated])
    return Scores(
        float(np.mean([graded_ndcg(each, model) for each in answered])),
        float(np.mean(ordered)),
        float(far[~known].mean()),
        float(far[known].mean()),
    )


def cross_validated(rated: Sequence[Rated], model: Model, without: Iterable[str] = ()) -> Scores:
    """Fit without a seventh of the families in turn, and score these; questions count alike."""
    families = sorted({each.family for each in rated})
    random.Random(7).shuffle(families)
    found: list[tuple[Scores, int]] = []
    for fold in range(FOLDS):
        out = set(families[fold::FOLDS])
        trained = fitted([each for each in rated if each.family not in out], model, without)
        tested = [each.renewed(trained) for each in rated if each.family in out]
        found.append((scores(tested, trained), len(tested)))
    total = sum(count for _, count in found)
    return Scores(
        *(
            sum(getattr(each, name) * count for each, count in found) / total
            for name in Scores.__dataclass_fields__
        )
    )


def table(name: str, model: Model) -> str:
    """A model as tables of `weights.toml`."""
    lines = []
    for part, weights in (("score", model.score), ("chance", model.chance)):
        lines.append(f"[{name}.{part}]")
        if part == "chance":
            lines.append(f"offset = {model.offset:.3f}")
        pairs = zip(FEATURES, weights, strict=True)
        lines += [f"{feature} = {weight:.3f}" for feature, weight in pairs if abs(weight) >= 5e-4]
        lines.append("")
    lines += [
        f"[{name}.closeness]",
        f"close_from = {model.close_from:.3f}",
        f"related_from = {model.related_from:.3f}",
        "",
        f"[{name}.feedback]",
        f"notes = {model.feedback_notes}",
        f"temperature = {model.feedback_temperature:g}",
        "",
    ]
    return "\n".join(lines)


HEAD = """\
# The weights of the ranking: fitted by `python -m tests.benchmarks.fit --write`, not by hand.
# What each feature is stands in scoring.py. score: joined to the rank; chance: to the logit of the
# chance that a technician would call the case useful. closeness: the chance from which a case is
# called close, or related; below that it is far. related_from is set so that of the questions with
# an answer one in twenty is told that nothing is close.
"""


def main() -> None:
    """Fit and print; see above."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--write", action="store_true", help="put the weights into weights.toml")
    write = parser.parse_args().write
    rated = ask_all("fit")
    made = [HEAD]
    for name, without in (("with_vectors", ()), ("words_only", FROM_VECTORS)):
        model = fitted_model(words_only=name == "words_only")
        print(name, cross_validated(rated, model, without), "cross-validated by family")
        result = fitted(rated, model, without)
        print(scores([each.renewed(result) for each in rated], result), "on what was fitted\n")
        made.append(table(name, result))
    text = "\n".join(made)
    print(text)
    if write:
        WEIGHTS_FILE.write_text(text, "utf-8")


if __name__ == "__main__":
    main()
