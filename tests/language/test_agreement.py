"""How readings agree, and how they are said on the screen."""

from __future__ import annotations

import pytest

from benchlore.language import Reading, read_conditions
from benchlore.language.agreement import agree, contradicts
from benchlore.language.note_conditions import note_conditions
from benchlore.language.wording import in_words


def one(text: str) -> Reading:
    (reading,) = read_conditions(text)
    return reading


@pytest.mark.parametrize(
    ("a", "b", "low", "high"),
    [
        ("knocks cold", "knocks when cold", 1, 1),
        ("knocks cold", "no knock cold", -1, -1),
        ("knocks cold", "knocks hot", 0, 0),
        ("knocks cold", "knocks in neutral", 0, 0),
        ("knocks hot", "knocks overheated", 0.3, 0.9),
        ("hums turning", "hums turning left", 0.5, 0.9),
        ("pinks accelerating", "pinks at full throttle", 0.5, 0.9),
        ("hums at 3000 rpm", "hums at mid revs", 1, 1),
        ("hums at 3000 rpm", "hums at idle", 0, 0),
        ("hums above 50 mph", "hums at 100 km/h", 1, 1),
        ("hums above 50 mph", "no hum at 100 km/h", -1, -0.7),
        ("no hum below 40 mph", "hums above 50 mph", 0, 0),
        ("hums at 60", "hums at 65", 0.2, 0.6),
        ("hums from 60 to 65", "hums from 60 to 65 mph", 1, 1),  # a bare number may be miles
        ("hums at 60", "no hum at 60 mph", 0, 0),
        ("hums from cold", "hums after standing overnight", 0.5, 0.9),
        ("hums in the wet", "hums on wet roads", 0.5, 1),
        ("hums at idle", "hums after standing overnight", 0, 0),
        ("hums on the motorway", "hums at 70 mph", 1, 1),
        ("same hot or cold", "knocks cold", 0.3, 0.8),
        ("same hot or cold", "no knock cold", -0.9, -0.5),
        ("no knock cold", "fine cold", 0.3, 0.8),
    ],
)
def test_agreement(a: str, b: str, low: float, high: float) -> None:
    assert low <= agree(one(a), one(b)) <= high
    assert agree(one(a), one(b)) == agree(one(b), one(a))


def test_a_reading_agrees_with_itself() -> None:
    text = "Hums from 50, louder in left-handers, gone when coasting; only when hot, in 3rd."
    for reading in read_conditions(text):
        assert agree(reading, reading) > 0
        assert not contradicts(reading, reading)


def test_front_matter_and_prose_feed_the_same_reader() -> None:
    found = note_conditions(
        "Droning hum from the rear that rises with road speed",
        present=["above 50 km/h", "turning left (louder)"],
        absent=["standing still at any rpm", "turning right"],
        where="rear, seems to come from the right",
        prose="It hums when cold. It hums turning right. Fine since. Bearing replaced when hot.",
    )
    said = {(r.axis, r.value, r.polarity) for r in found}
    assert ("speed", ">50", "present") in said
    assert ("steer", "right", "absent") in said
    assert ("steer", "right", "present") not in said
    assert ("load", "standing", "absent") in said
    assert ("rpm", "any", "absent") not in said
    assert ("place", "right", "present") in said
    assert ("course", "tracks-speed", "present") in said
    assert ("temp", "cold", "present") in said
    assert ("temp", "hot", "present") not in said
    assert next(r for r in found if r.value == "left").grade == "worse"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("hums above 50 km/h, not when turning right", "above 50 km/h; not when turning right"),
        ("louder when cold", "cold (worse)"),
        ("at 55-65 mph in 4th", "at 55 to 65 mph; in gear 4"),
        ("the car is blue", ""),
    ],
)
def test_readings_in_words(text: str, words: str) -> None:
    assert in_words(read_conditions(text)) == words
