"""The same thing is offered as the shop has written it before."""

from __future__ import annotations

import pytest

from benchlore.notes import Note
from benchlore.search.engine import Engine
from benchlore.writeup.shop_words import ShopWords
from shops import ShopFolder
from writeup.drafts import draft


def case(part: str, fault: str = "worn", more: str = "") -> Note:
    return draft(f"symptom: hums\ncauses: [{{part: {part}, fault: {fault}}}]\n{more}")


@pytest.fixture(scope="module")
def words() -> ShopWords:
    return ShopWords.of_notes(
        [
            *[case("wheel bearing") for _ in range(3)],
            *[case("Wheel bearing", "pitted") for _ in range(2)],
            case("water pump bearing", more="machine: {make: Halden, model: Carrier 35}"),
            case("water pump", more="machine: {make: Halden, model: Carrier 35}"),
            case("water pump", more="machine: {make: Brenno, model: Pico}\nsystem: cooling\n"
                 "cautions: [hot coolant]"),
            case("pump", more="checks: [{check: hub play, value: 0.1 mm}, {check: Hub  play,"
                 " value: 3 thou, limit_from: workshop manual}, {check: hub play, value: 0.2 mm,"
                 " points_to: [stub axle]}]"),
        ]
    )  # fmt: skip


@pytest.mark.parametrize(
    ("field", "typed", "expected"),
    [
        ("causes.part", "", ("wheel bearing", "water pump", "pump")),
        ("causes.part", "bear", ("wheel bearing", "water pump bearing")),
        ("causes.part", "wh b", ("wheel bearing",)),
        ("causes.part", "WHEEL", ("wheel bearing",)),
        ("causes.part", "pump", ("water pump", "water pump bearing")),
        ("causes.part", "brg", ("wheel bearing", "water pump bearing")),
        ("causes.part", "wheel brg", ("wheel bearing",)),
        ("checks.points_to", "stub", ("stub axle",)),
        ("checks.check", "play", ("hub play",)),
        ("checks.limit_from", "man", ("workshop manual",)),
        ("machine.make", "h", ("Halden",)),
        ("causes.fault", "p", ("pitted",)),
        ("causes.fault", "zzz", ()),
        ("no such field", "a", ()),
    ],
)
def test_typing_is_completed(
    words: ShopWords, field: str, typed: str, expected: tuple[str, ...]
) -> None:
    assert words.complete(field, typed)[: len(expected)] == expected
    if not expected:
        assert words.complete(field, typed) == ()


def test_the_commonest_spelling_stands_for_all(words: ShopWords) -> None:
    assert words.counts("causes.part")[0] == ("wheel bearing", 5)


def test_parts_that_the_shop_never_named_come_from_the_vocabulary(words: ShopWords) -> None:
    assert "thermostat" in words.complete("causes.part", "thermos")


def test_no_more_are_given_than_wanted(words: ShopWords) -> None:
    assert len(words.complete("causes.part", "b", 2)) == 2


def test_a_model_tells_its_make(words: ShopWords) -> None:
    assert (words.make_of("carrier 35"), words.make_of("unknown")) == ("Halden", "")


def test_a_check_tells_its_units_and_a_system_its_cautions(words: ShopWords) -> None:
    assert words.units("HUB play") == ("mm", "thou")
    assert words.units("never measured") == ()
    assert words.cautions("Cooling") == ("hot coolant",)
    assert words.cautions("") == ()


def test_words_of_an_index_are_those_of_its_notes(shop_folder: ShopFolder) -> None:
    text = "---\nsymptom: hums\ncauses: [{part: wheel bearing}]\nsystem: wheels\n---\n"
    shop_folder.write("kb/1.md", text)
    shop_folder.write("articles/a.md", text.replace("wheel bearing", "of an article"))
    shop_folder.build()
    words = ShopWords.of_store(shop_folder.engine().index.store)
    assert words.counts("causes.part") == (("wheel bearing", 1),)
    assert list(words) == ["system", "causes.part"]


def test_the_demo_shop_completes_its_own_parts(demo: Engine) -> None:
    words = ShopWords.of_store(demo.index.store)
    part, count = words.counts("causes.part")[0]
    assert count > 1 and part in words.complete("causes.part", part[:3])
