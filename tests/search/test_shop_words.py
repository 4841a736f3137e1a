"""Slips of a question, mended against the words of a shop's own notes."""

from __future__ import annotations

import pytest

from benchlore.language.search_words import search_words
from benchlore.language.vocabulary import current
from benchlore.search.shop_words import ShopWords

NOTES = "The antifreeze takes up slack: hissing alternator bearing, wiper and gasket, steel ferrule"


@pytest.fixture(scope="module")
def words() -> ShopWords:
    return ShopWords(search_words(NOTES), current())


@pytest.mark.parametrize(
    ("written", "mended"),
    [
        ("the ferule", "the ferrul"),  # mended to the stem, which is all that is looked up
        ("antifreze low", "antifreez low"),
        ("alternatorbearing", "alternator bearing"),
        ("steelgasket!", "steel gasket!"),
        ("hissin at idle", "hissing at idle"),
    ],
)
def test_a_slip_is_mended(words: ShopWords, written: str, mended: str) -> None:
    assert words.mended(written) == mended
    assert set(search_words(mended)) & set(search_words(NOTES))


def test_words_torn_apart_are_joined(words: ShopWords) -> None:
    assert words.joined("lost anti freeze") == ["antifreez"]
    assert words.joined("lost coolant") == []


@pytest.mark.parametrize("text", ["Ferrule", "bearings", "FERRULES"])
def test_what_notes_know_stays_as_it_is_written(words: ShopWords, text: str) -> None:
    assert words.mended(text) == text


def test_a_word_that_the_vocabulary_knows_is_no_slip() -> None:
    """A grumble is no crumble, though the notes have only that."""
    words = ShopWords(search_words("rubber crumble"), current())
    assert current().spelling.known("grumble")
    assert words.mended("grumble") == "grumble"
    assert words.mended("crumbel") == "crumbl"


@pytest.mark.parametrize("text", ["zzyzx", "qoph", "P0301", "185R14", "", "..."])
def test_what_is_near_nothing_stays(words: ShopWords, text: str) -> None:
    assert words.mended(text) == text


def test_halves_of_two_letters_are_not_parted() -> None:
    words = ShopWords(search_words("ox steel"), current())
    assert words.mended("oxsteel") == "oxsteel"
