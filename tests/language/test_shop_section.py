"""What of a shop's own words can be used, and what is said about the rest."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore.language import read_conditions
from benchlore.language.folding import normal
from benchlore.language.shop_section import checked_section
from benchlore.language.vocabulary import of_shop, shipped
from benchlore.shop import SETTINGS_FILE, Settings, read_settings

GOOD = """
[vocabulary]
words = {"droner" = "hum", "Tin Worm" = "rust"}
conditions.temp.cold = ["with the kettle on"]
[vocabulary.conditions.load]
towing = "muck spreader behind"
"""


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return read_with(tmp_path, GOOD)


def read_with(folder: Path, text: str) -> Settings:
    (folder / SETTINGS_FILE).write_text(text, "utf-8")
    return read_settings(folder)


def test_a_sound_section_is_used_whole(settings: Settings) -> None:
    own = of_shop(settings.vocabulary)
    assert settings.problems == ()
    assert normal("Droner, tin worm", own) == "hum, rust"
    found = read_conditions("knocks with the kettle on and muck spreader behind", own)
    assert [(r.axis, r.value) for r in found] == [("temp", "cold"), ("load", "towing")]


def test_a_shop_without_a_section_has_the_packaged_words(tmp_path: Path) -> None:
    assert read_settings(tmp_path).vocabulary == {}
    assert of_shop(read_with(tmp_path, 'currency = "GBP"\n[vocabulary]\n').vocabulary) is shipped()


@pytest.mark.parametrize(
    ("section", "said"),
    [
        ("vocabulary = 3", "shop.toml: vocabulary must be a section [vocabulary]; passed over"),
        ("vocabulary.word.a = 'b'", "vocabulary.word is not known there (words, conditions)"),
        ("vocabulary.words = ['a']", "vocabulary.words must be a section of words"),
        ("vocabulary.words.droner = 3", "vocabulary.words.droner must be a word in quotes"),
        ("vocabulary.words.droner = ' '", "vocabulary.words.droner must be a word in quotes"),
        ("vocabulary.words.'tin worm' = []", "vocabulary.words.'tin worm' must be a word"),
        ("vocabulary.words.'...' = 'hum'", "vocabulary.words.'...' does not begin with a word"),
        ("vocabulary.words.'' = 'hum'", "does not begin with a word"),
        ("vocabulary.conditions = 1", "vocabulary.conditions must be a section of sections"),
        (
            "vocabulary.conditions.tmp.cold = ['a']",
            "vocabulary.conditions.tmp is none of temp, ",
        ),
        ("vocabulary.conditions.temp = ['a']", "vocabulary.conditions.temp must be a section of"),
        ("vocabulary.conditions.temp.tepid = ['a']", "conditions.temp.tepid is none of cold, "),
        ("vocabulary.conditions.temp.cold = 4", "temp.cold must be a list of phrases; passed over"),
        ("vocabulary.conditions.temp.cold = [4]", "must be a list of phrases; '4' passed over"),
        ("vocabulary.conditions.temp.cold = ['<n> oz']", "'<n> oz' does not begin with a word"),
        ("vocabulary.conditions.temp.cold = ['{nolist} on']", "does not begin with a word"),
    ],
)
def test_what_cannot_be_used_is_named_with_its_key(tmp_path: Path, section: str, said: str) -> None:
    settings = read_with(tmp_path, f'currency = "GBP"\n{section}\n')
    (problem,) = settings.problems
    assert problem.startswith("shop.toml: vocabulary") and said in problem
    assert settings.vocabulary == {} and settings.currency == "GBP"


def test_one_slip_leaves_the_rest_in_use(tmp_path: Path) -> None:
    settings = read_with(
        tmp_path,
        """[vocabulary]
        words = {"droner" = "hum", "x" = 1}
        conditions.temp.cold = ["with the kettle on", 2]
        conditions.temp.tepid = ["lukewarm"]
        """,
    )
    assert len(settings.problems) == 3
    assert settings.vocabulary == {
        "words": {"droner": "hum"},
        "conditions": {"temp": {"cold": ["with the kettle on"]}},
    }


def test_a_key_of_the_file_stays_one_short_line(tmp_path: Path) -> None:
    settings = read_with(tmp_path, f'[vocabulary.words]\n"a\\n\\u001b[2J{"b" * 999}" = 1\n')
    (problem,) = settings.problems
    assert problem.isprintable() and len(problem) < 150


def test_a_phrase_with_too_many_forms_costs_no_time(tmp_path: Path) -> None:
    words = "|".join(f"w{number}" for number in range(3000))
    settings = read_with(tmp_path, f'vocabulary.words."({words}) ({words})" = "hum"')
    assert normal("w0 w1", of_shop(settings.vocabulary)) == "hum"


ANY = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(),
    lambda inside: (
        st.lists(inside, max_size=3)
        | st.dictionaries(
            st.sampled_from(["words", "conditions", "temp", "cold"]) | st.text(), inside, max_size=4
        )
    ),
)


@given(ANY)
def test_any_section_gives_words_that_can_be_used(section: object) -> None:
    usable, problems = checked_section(section)
    assert all(problem.startswith("vocabulary") and problem.isprintable() for problem in problems)
    assert checked_section(usable) == (usable, ())
    own = of_shop(usable)
    assert len(own.fingerprint()) == 64
    assert read_conditions("knocks cold", own) and normal("n/s/f whl brg", own)
