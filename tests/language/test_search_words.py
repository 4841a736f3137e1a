"""The words by which notes and questions are compared."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from benchlore.language.search_words import PART, part_words, search_words
from benchlore.language.vocabulary import current


def test_a_word_stands_as_written_and_by_its_head() -> None:
    head = search_words("vibration")
    assert len(head) == 1
    assert sorted(search_words("juddering")) == sorted(["judder", *head])
    assert set(search_words("shaking")) & set(search_words("juddering")) == set(head)


def test_a_head_word_is_counted_once_and_a_repeated_word_as_often_as_it_stands() -> None:
    assert sorted(search_words("judder, judders, vibration")) == sorted(
        ["judder"] * 2 + search_words("vibration") * 3
    )


def test_shorthand_meets_the_words_in_full() -> None:
    assert set(search_words("n/s/f whl brg")) >= set(search_words("nearside front wheel bearing"))


def test_codes_sizes_and_numbers_are_no_words() -> None:
    assert search_words("P0301 HD22 185R14C 6203-2RS 2.4 60") == []


def test_a_shop_folds_its_own_words() -> None:
    own = current().with_shop({"words": {"droner": "hum"}})
    hum = set(search_words("hum"))
    assert hum <= set(search_words("a droner", own))
    assert not hum & set(search_words("a droner"))


def test_parts_are_led_by_what_no_word_has() -> None:
    assert part_words("both rotors") == ["part:brake_disc"]
    assert part_words("it rattles") == []


@given(st.text(max_size=200))
def test_any_text_gives_words_that_can_be_stored_side_by_side(text: str) -> None:
    """A passage keeps its words parted by spaces; a word with a space in it would be two."""
    for word in search_words(text) + part_words(text):
        assert word.split() == [word]
    assert not any(word.startswith(PART) for word in search_words(text))
