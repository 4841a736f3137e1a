"""Which parts a text names.

What is one part and what are two: common practice, no source.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

import pytest

from benchlore.language.parts import parts, singular
from benchlore.language.vocabulary import current


def rows() -> Iterator[tuple[str, tuple[str, ...]]]:
    """Every head of the vocabulary with all its names, its own among them."""
    for system in current().table("subjects").values():
        for head, others in system.items():
            yield head, (head, *others)


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("Fitted new ROTORS", ("brake disc",)),
        ("brake discs and disc rotors", ("brake disc",)),
        ("big-end bearing", ("big end bearing", "bearing")),
        ("winch motor", ("winch motor", "winch")),
        ("battery charger", ("battery charger", "battery")),
        ("charger for the batteries", ("battery",)),
        ("driver's door", ("door",)),
        ("both driver\N{RIGHT SINGLE QUOTATION MARK}s doors", ("door",)),
        ("clutch, then the sump: both clutches", ("clutch", "sump")),
    ],
)
def test_a_text_names_parts_in_order_the_longest_first(text: str, named: tuple[str, ...]) -> None:
    assert parts(text) == named


@pytest.mark.parametrize(
    ("one", "many"),
    [("bush", "bushes"), ("battery", "batteries"), ("piston", "pistons"), ("glass", "glasses"),
     ("hose", "hoses"), ("chassis", "chassis"), ("gas", "gas")],
)  # fmt: skip
def test_one_and_many_are_the_same_part(one: str, many: str) -> None:
    assert singular(many) == singular(one) == (one,)


def test_words_of_one_stem_are_not_one_part() -> None:
    assert parts("reverser") and not set(parts("reverser")) & set(parts("stuck in reverse"))


def test_letters_inside_a_word_name_nothing() -> None:
    assert parts("sumptuous, clutching at straws, doorstep") == ()


def test_a_symptom_names_no_part() -> None:
    assert parts("knocks when cold, worse turning left above 50 km/h") == ()


def test_every_name_is_read_as_its_head() -> None:
    wrong = [(name, head) for head, names in rows() for name in names if head not in parts(name)]
    assert wrong == []


def test_a_name_is_of_one_head_only() -> None:
    heads: defaultdict[tuple[str, ...], set[str]] = defaultdict(set)
    for head, names in rows():
        for name in names:
            heads[singular(name)].add(head)
    assert len(heads) > 1000
    assert {name: of for name, of in heads.items() if len(of) > 1} == {}
