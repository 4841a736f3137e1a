"""Shop language to head words, and a shop's own words."""

from __future__ import annotations

import pytest

from benchlore.language import read_conditions
from benchlore.language.folding import expanded, normal
from benchlore.language.units import celsius, kilometres, speed_kmh
from benchlore.language.vocabulary import Vocabulary, current, use


@pytest.mark.parametrize(
    ("text", "folded"),
    [
        ("n/s/f whl brg u/s", "nearside front wheel bearing unserviceable"),
        ("N.S.F. WHL BRG", "nearside front wheel bearing"),
        ("tire noise", "tyre noise"),
        ("oil pan", "sump"),
        ("starter motor", "starter motor"),
        ("droning", "hum"),
        ("T/C rattle on s/up", "timing chain rattle on start up"),
        ("T/C shudder, auto box", "torque converter vibration, automatic gearbox"),
        ("T/C unknown", "t/c unknown"),
        ("P/S pump", "power steering pump"),
        ("P/S door", "passenger side door"),
        ("vibartion", "vibration"),
        ("genarator", "dynamo"),
        ("HD-22 and P0301, 6203-2RS", "hd-22 and p0301, 6203-2rs"),
        ("80 kph", "80 km/h"),
        ("", ""),
    ],
)
def test_folding(text: str, folded: str) -> None:
    assert normal(text) == folded


def test_folding_is_stable_on_head_words() -> None:
    for head in current().section("synonyms"):
        assert normal(head) == normal(normal(head))


def test_plain_words_are_not_taken_for_slips() -> None:
    plain = "watch steel white thick value measure known thought through bolts trick powder"
    assert normal(plain) == plain


def test_the_other_words_for_a_word() -> None:
    assert "oil pan" in expanded("sump")
    assert "sump" in expanded("oil pan")
    assert {"torque converter", "timing chain"} <= set(expanded("tc"))
    assert expanded("nothing-known") == ()


def test_a_shop_adds_its_own_words() -> None:
    own = Vocabulary.load().with_shop(
        {
            "words": {"droner": "hum"},
            "conditions": {"temp": {"cold": ["frozen solid"]}, "nonsense": {"x": ["y"]}, "load": 3},
        }
    )
    assert normal("a droner", own) == "a hum"
    assert [(r.axis, r.value) for r in read_conditions("knocks frozen solid", own)] == [
        ("temp", "cold")
    ]
    assert read_conditions("knocks cold", own)
    use(own)
    try:
        assert normal("droner") == "hum"
    finally:
        use(None)
    assert normal("droner") == "droner"


def test_a_vocabulary_that_is_empty_folds_nothing() -> None:
    assert normal("N/S/F Whl Brg", Vocabulary()) == "n/s/f whl brg"


def test_unit_factors_are_those_of_nist_sp_811() -> None:
    assert speed_kmh(50, "mph") == pytest.approx(80.4672)
    assert kilometres(142300 / 1.609344, "miles") == pytest.approx(142300)
    assert celsius(210, "F") == pytest.approx(98.8889, abs=1e-4)
