"""The weights of the ranking, and the formulas behind its features."""

from __future__ import annotations

import math
import tomllib
from typing import Any

import bm25s
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore.search.scoring import (
    FEATURES,
    FROM_VECTORS,
    K1,
    WEIGHTS_FILE,
    B,
    bm25,
    fitted_model,
    rarity,
    read_model,
    token_strength,
)

AGAINST = {"no_parts", "new_parts", "conflict", "conditions", "unknown"}
"""Features that tell against a note, or against any note being the answer."""

MODELS = tomllib.loads(WEIGHTS_FILE.read_text("utf-8"))


@pytest.fixture(params=["with_vectors", "words_only"])
def tables(request: pytest.FixtureRequest) -> dict[str, Any]:
    return MODELS[request.param]


def test_both_models_are_there_and_are_told_apart() -> None:
    assert set(MODELS) == {"with_vectors", "words_only"}
    for words_only, name in ((False, "with_vectors"), (True, "words_only")):
        weights = dict(zip(FEATURES, fitted_model(words_only).score, strict=True))
        assert {n: w for n, w in weights.items() if w} == MODELS[name]["score"]


def test_every_weight_is_of_a_feature(tables: dict[str, Any]) -> None:
    """`read_model` passes a misspelled name over."""
    assert set(tables["score"]) <= set(FEATURES)
    assert set(tables["chance"]) <= {"offset", *FEATURES}
    assert set(tables) == {"score", "chance", "closeness", "feedback"}


def test_signs_are_what_the_features_mean(tables: dict[str, Any]) -> None:
    for part in ("score", "chance"):
        for name, weight in tables[part].items():
            if name != "offset":
                assert weight < 0 if name in AGAINST else weight > 0, (part, name)
        assert tables[part]["conflict"] < 0 < tables[part]["agree"]


def test_an_exact_token_weighs_as_much_as_all_the_rest(tables: dict[str, Any]) -> None:
    rest = sum(w for name, w in tables["score"].items() if w > 0 and name != "tokens")
    # Weights are rounded to 0.001.
    assert tables["score"]["tokens"] >= rest - 0.0005 * len(FEATURES)


def test_words_alone_need_no_vectors() -> None:
    for part in ("score", "chance"):
        assert not set(MODELS["words_only"][part]) & set(FROM_VECTORS)


def test_closeness_has_its_bounds(tables: dict[str, Any]) -> None:
    model = read_model(tables)
    assert 0 < model.related_from < model.close_from < 1
    assert model.closeness(1.0) == model.closeness(model.close_from) == "close"
    assert model.closeness(model.close_from - 1e-9) == "related"
    assert model.closeness(model.related_from) == "related"
    assert model.closeness(model.related_from - 1e-9) == model.closeness(0.0) == "far"


def test_a_note_that_shares_nothing_is_far(tables: dict[str, Any]) -> None:
    model = read_model(tables)
    assert model.closeness(float(model.chances(np.zeros((1, len(FEATURES))))[0])) == "far"


def test_scores_and_chances_by_hand() -> None:
    model = read_model(
        {
            "score": {"words": 2.0, "conflict": -1.0},
            "chance": {"offset": -1.0, "words": 3.0},
            "closeness": {"close_from": 0.5, "related_from": 0.1},
            "feedback": {"notes": 3, "temperature": 0.1},
        }
    )
    features = np.zeros((2, len(FEATURES)))
    features[0, FEATURES.index("words")] = 0.5
    features[0, FEATURES.index("conflict")] = 0.25
    assert model.scores(features) == pytest.approx([0.75, 0.0])
    logits = (0.5, -1.0)  # 3 x 0.5 - 1, and the offset alone
    assert model.chances(features) == pytest.approx([1 / (1 + math.exp(-x)) for x in logits])


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_bm25_is_that_of_bm25s() -> None:
    """bm25s, "lucene": ln(1 + (N - n + 0.5) / (n + 0.5)) and no k1 + 1 above the line."""
    notes = [["hum", "rear", "hum"], ["hum"], ["rear", "axl", "nois", "rear", "door"], ["door"]]
    peer = bm25s.BM25(method="lucene", k1=K1, b=B)
    peer.index(notes, show_progress=False)
    lengths = np.array([len(note) for note in notes], np.float32)
    for word in ("hum", "rear", "door", "axl"):
        counts = np.array([note.count(word) for note in notes], np.int64)
        parts = bm25(counts, lengths, float(lengths.mean()))
        ours = rarity(np.count_nonzero(counts), len(notes)) * parts
        assert ours == pytest.approx(peer.get_scores([word]), abs=1e-5), word


def test_more_often_and_in_a_shorter_note_counts_more_but_levels_off() -> None:
    lengths = np.array([10, 10, 10, 10, 40], np.float32)
    once, twice, nine, ten, long = bm25(np.array([1, 2, 9, 10, 1]), lengths, 10.0)
    assert 0 < long < once < twice < nine < ten < 1
    assert ten - nine < (twice - once) / 10


def test_a_code_counts_by_its_rarity_and_a_name_by_the_notes_that_have_it() -> None:
    assert token_strength("P0301", 1, 1000, True) == token_strength("P0301", 1, 1000, False) == 1
    assert token_strength("P0301", 30, 1000, True) > 0.4
    assert token_strength("HD22A", 30, 1000, False) == pytest.approx(1 / 30)


def test_short_names_tell_less() -> None:
    """(letters - 1) / 4, squared, up to five letters: worked by hand."""
    strengths = [token_strength(t, 1, 100, False) for t in ("M8", "4WD", "HD22", "185R14")]
    assert strengths == pytest.approx([1 / 16, 4 / 16, 9 / 16, 1.0])


@given(st.integers(1, 500), st.integers(0, 500), st.booleans())
def test_a_token_counts_between_nothing_and_all_and_less_the_more_notes_have_it(
    count: int, others: int, is_code: bool
) -> None:
    total = count + others + 1
    one, more = (token_strength("P0301", n, total, is_code) for n in (count, count + 1))
    assert 0 < more < one <= 1
