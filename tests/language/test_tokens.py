"""Exact tokens and folded words."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from snowballstemmer.english_stemmer import EnglishStemmer

from benchlore.language import fold, note_tokens, query_tokens
from benchlore.language.words import MAX_WORD, STOP_WORDS
from shops import REPOSITORY


@pytest.mark.parametrize(
    ("text", "token"),
    [
        ("P0301", "P0301"),
        ("p0301", "P0301"),
        ("P 0301", "P0301"),
        ("P-0301", "P0301"),
        ("U3FFF", "U3FFF"),
        ("b1318-4a", "B13184A"),
        ("SPN 100 FMI 1", "SPN100FMI1"),
        ("HD22", "HD22"),
        ("HD-22", "HD22"),
        ("hd 22", "HD22"),
        ("6203-2RS", "62032RS"),
        ("6203-2RS", "6203"),
        ("205/55 R16", "20555R16"),
        ("205/55R16", "20555R16"),
        ("315/80 R22.5", "31580R225"),
        ("part 90915", "90915"),
        ("2025-0147", "20250147"),
    ],
)
def test_a_query_reads_the_token(text: str, token: str) -> None:
    """Code shapes as in SAE J2012 / ISO 15031-6 and SAE J1939-73; tyre sizes as in ISO 4000-1."""
    assert token in query_tokens(f"noise with {text}, cold")


@pytest.mark.parametrize("text", ["HD22", "HD-22", "HD 22", "P 0301", "p0301", "6203-2RS"])
def test_a_note_states_what_a_query_asks_for(text: str) -> None:
    assert note_tokens(f"Fitted {text} here.") & query_tokens(f"is there a {text}")


@pytest.mark.parametrize(
    "text",
    ["0.14 mm", "30mph", "12V", "at 3k", "12.4 to 12.8 V", "from 50", "at 2500 rpm", "2,500 rpm",
     "38psi", "5.5 thou", "80-90 km/h", "110Nm", "4kohm", "15s", "20min", "5L/100km"],
)  # fmt: skip
def test_a_quantity_is_no_token_of_a_note(text: str) -> None:
    assert note_tokens(f"noisy {text} and so on") == frozenset()


def test_a_line_of_capitals_holds_only_solid_tokens() -> None:
    assert note_tokens("REPLACE PUMP AT 4000 HOURS") == frozenset()
    assert note_tokens("REPLACE HD22 PUMP") == {"HD22"}


@pytest.mark.parametrize(
    ("written", "token"),
    [("185 R14 C", "185R14C"), ("185 R14C", "185R14C"), ("185R14 C", "185R14C"),
     ("185-R14-C", "185R14C"), ("205/65 R16 C", "20565R16C"), ("205/65 R16C", "20565R16C"),
     ("205/65R16 C", "20565R16"), ("6 PK 1750", "6PK1750"), ("6PK 1750", "6PK1750")],
)  # fmt: skip
def test_a_size_written_apart_is_one_token(written: str, token: str) -> None:
    """Tyre sizes as in ISO 4000-1, belts as in ISO 9981: from memory."""
    assert token in note_tokens(f"fitted a new {written} today")
    assert token in query_tokens(f"a new {written.lower()} wanted")
    assert token in query_tokens(token)


@pytest.mark.parametrize(
    ("many", "one"),
    [("185R14s", "185R14"), ("HD22s", "HD22"), ("205/55R16s", "20555R16"), ("6PK1750s", "6PK1750")],
)
def test_more_than_one_of_them_is_the_same_token(many: str, one: str) -> None:
    assert one in note_tokens(f"fitted two {many} today")
    assert one in query_tokens(f"two {many}") and one in query_tokens(f"two {many.lower()}")


@pytest.mark.parametrize(
    "text",
    ["at 2 or 3 places", "cylinder 4 and then 100 more", "in 1st gear", "bolt 4 of 120",
     "fitted 10 x 12 spacers", "from 50 to 60", "run 20 min at 1500 rpm", "Left 12 bolts out",
     "on 3 occasions in 120 days", "the 1990s", "10 Vs 12"],
)  # fmt: skip
def test_running_text_with_numbers_states_no_token(text: str) -> None:
    assert note_tokens(f"It was {text} today.") == frozenset()


@given(st.text(max_size=300))
def test_any_text_can_be_read(text: str) -> None:
    for token in note_tokens(text) | query_tokens(text):
        assert token and token == token.upper()
    for word in fold(text):
        assert word and not any(char.isspace() for char in word)


@given(st.from_regex(r"[PCBU][0-3][0-9A-F]{3}", fullmatch=True))
def test_every_code_of_the_standard_shape_is_found_in_every_spelling(code: str) -> None:
    """SAE J2012 / ISO 15031-6: system letter, 0..3, three hexadecimal digits."""
    for written in (code, code.lower(), f"{code[0]} {code[1:]}", f"{code[0].lower()}-{code[1:]}"):
        assert code in note_tokens(f"stored {written}.") and code in query_tokens(written)


def test_words_are_folded_to_their_stems_without_accents() -> None:
    assert fold("Brakes squealing, naïve") == fold("brake squeals naive")
    assert fold("won't") == ["wont"]
    assert "not" in fold("not only when hot") and "onli" in fold("only")


def test_stems_are_those_of_the_other_build_of_snowball() -> None:
    # snowballstemmer: the same algorithm, compiled to Python by the Snowball project.
    texts = (
        p.read_text("utf-8") for f in ("kb", "articles") for p in REPOSITORY.glob(f"{f}/**/*.md")
    )
    words = {word for text in texts for word in re.findall(r"[^\W_]+", text.casefold())}
    words = {word for word in words if word.isascii() and len(word) <= MAX_WORD} - STOP_WORDS
    assert len(words) > 3000
    stem = EnglishStemmer().stemWord
    assert {word: fold(word) for word in words} == {word: [stem(word)] for word in words}
