"""Sentences with their readings: the trade reference's own, and as people really talk.

`trade_sentences.txt` is the specification. `workshop_sentences.txt` was written before the rules.
The blind sets were written after them; at first sight, before any rule was mended for them, the
reader's precision and recall were 0.87 and 0.85, 0.89 and 0.91, 0.89 and 0.83. Each fresh set says
at its top what the reader made of it at first, and whether anything was mended by it since.
"""

from __future__ import annotations

import sys

import pytest

from benchlore.language import read_conditions
from language.sentences import load, read, score, ungraded

FILES = (
    "trade_sentences.txt",
    "workshop_sentences.txt",
    "blind_sentences.txt",
    "blind_sentences_2.txt",
    "blind_sentences_3.txt",
)

OTHERS = (
    ("held_sentences.txt", 0.97, 0.97),
    ("fresh_sentences.txt", 0.97, 0.96),
    ("fresh_sentences_2.txt", 0.75, 0.70),
    ("fresh_sentences_3.txt", 0.90, 0.90),
    ("fresh_sentences_4.txt", 0.92, 0.90),
    ("fresh_sentences_5.txt", 0.87, 0.83),
)
"""Name, least precision, least recall."""
KEPT_APART = ("fresh_sentences_2.txt", "fresh_sentences_5.txt")
"""No rule or word was mended by these: what the reader does with a stranger's sentences."""

MISSPELLED = (
    ("intermittant", "intermittent"),
    ("vibartion", "vibration"),
    ("noisey", "noisy"),
    ("loosing", "losing"),
    ("exaust", "exhaust"),
    ("idel", "idle"),
    ("acelerating", "accelerating"),
    ("cluch", "clutch"),
    ("stearing", "steering"),
    ("squeel", "squeal"),
    ("squeels", "squeals"),
    ("clunck", "clunk"),
    ("wheal", "wheel"),
    ("alternater", "alternator"),
    ("overeating", "overheating"),
    ("ratles", "rattles"),
    ("knoking", "knocking"),
    ("juders", "judders"),
    ("breaks", "brakes"),
    ("brakeing", "braking"),
    ("stationery", "stationary"),
    ("moterway", "motorway"),
    ("misfirs", "misfires"),
    ("accros", "across"),
    ("rumbels", "rumbles"),
)


@pytest.mark.parametrize(("sentence", "expected"), load("trade_sentences.txt"))
def test_the_trade_reference_is_read_as_it_says(sentence: str, expected: list[str]) -> None:
    assert read(sentence) == set(expected)


@pytest.mark.parametrize("name", FILES)
def test_precision_and_recall(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    sentences = load(name)
    precision, recall = score(sentences)
    told = f"{name}: {len(sentences)} sentences, precision {precision:.3f}, recall {recall:.3f}\n"
    with capsys.disabled():
        sys.stdout.write(f"\n{told}")
    assert precision >= 0.95
    assert recall >= 0.85


@pytest.mark.parametrize(("name", "precise", "complete"), OTHERS)
def test_sentences_of_other_registers(
    name: str, precise: float, complete: float, capsys: pytest.CaptureFixture[str]
) -> None:
    """The floors lie just below what was measured; of KEPT_APART nothing was mended by it."""
    precision, recall = score(load(name))
    kept = " (kept apart)" if name in KEPT_APART else ""
    with capsys.disabled():
        sys.stdout.write(f"\n{name}{kept}: precision {precision:.3f}, recall {recall:.3f}\n")
    assert precision >= precise
    assert recall >= complete


def test_there_are_enough_sentences() -> None:
    assert len(load("trade_sentences.txt")) == 94
    assert sum(len(load(name)) for name in FILES[1:]) >= 150


def misspelled() -> list[tuple[str, str]]:
    """Every sentence that holds one of the words, with the word misspelled."""
    found = []
    for sentence, _ in (pair for name in FILES for pair in load(name)):
        for wrong, right in MISSPELLED:
            words = sentence.split()
            if right in words:
                found.append((sentence, " ".join(wrong if w == right else w for w in words)))
    return found


@pytest.mark.parametrize(("sentence", "wrong"), misspelled())
def test_misspelled_words_are_read_alike(sentence: str, wrong: str) -> None:
    assert ungraded(read(wrong)) == ungraded(read(sentence))


def test_a_reading_says_where_it_was_read() -> None:
    text = "Hums from 50, louder in left-handers, gone when coasting."
    for reading in read_conditions(text):
        assert text[reading.start : reading.end] == reading.text
    assert [r.text for r in read_conditions(text)] == ["from 50", "left-handers", "coasting"]


def test_hearsay_hedges_and_trials_weigh_less() -> None:
    plain = read_conditions("Squeals in the rain.")[0].weight
    told = read_conditions("Cust states squeals in the rain.")[0].weight
    hedged = read_conditions("Maybe it squeals in the rain.")[0].weight
    tried = read_conditions("Could not get it to squeal in the rain.")[0].weight
    assert plain == 1.0
    assert tried < hedged < plain
    assert told < plain
