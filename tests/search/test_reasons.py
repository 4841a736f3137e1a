"""Which conditions agree, which contradict, and how much each tells."""

from __future__ import annotations

from benchlore.language import Reading, read_conditions
from benchlore.search.reasons import Compared, compare, telling


def compared(question: str, note: str) -> Compared:
    asked = read_conditions(question)
    return compare(asked, [1.0] * len(asked), read_conditions(note))


def said(readings: list[Reading]) -> list[str]:
    return [f"{reading.polarity} {reading.value}" for reading in readings]


def test_only_hot_contradicts_cold_by_its_denial() -> None:
    found = compared("rattles cold", "rattles only when hot")
    assert (found.agree, found.conflict) == (0.0, 1.0)
    assert said([match.stated for match in found.conflicts]) == ["absent cold"]
    assert found.agrees == ()


def test_what_shows_in_both_is_no_contradiction() -> None:
    found = compared("rattles cold", "rattles hot and cold")
    assert (found.agree, found.conflict) == (1.0, 0.0)
    assert said([match.stated for match in found.agrees]) == ["present cold"]


def test_words_of_both_sides_are_kept() -> None:
    found = compared("clunks from stone cold", "clunks on a cold engine, not once warmed up")
    assert [(m.asked.text, m.stated.text) for m in found.agrees] == [("stone cold", "cold engine")]


def test_nothing_said_compares_to_nothing() -> None:
    assert compared("rattles", "rattles cold") == compared("rattles cold", "rattles") == Compared()


def test_what_every_note_says_tells_little() -> None:
    asked = read_conditions("hums at the front when turning left")
    (front,) = (r for r in asked if r.axis == "place")
    (left,) = (r for r in asked if r.axis == "steer")
    counts = [(front, 60), (left, 3)]
    tells = dict(zip(asked, telling(asked, counts, 100), strict=True))
    assert 0 < tells[front] < 0.2 < tells[left] < 1
    assert telling(asked, [], 100) == tuple(1.0 for _ in asked)
    assert telling((), counts, 100) == ()
