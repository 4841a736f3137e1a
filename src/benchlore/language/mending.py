"""Items that are understood only beside their neighbours."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from benchlore.language.items import Item, Value
from benchlore.language.spans import is_range

_ORDINALS = {"first": "1", "second": "2", "third": "3"}
_HELD = ("sat at", "held at", "sitting at", "holding", "hold")
_RESTED = {"overnight", "stood", "laid-up", "heat-soak"}
_SIDES = ("left", "right")
_RESTING = ("parked", "stood", "standing", "stopped", "left")


def mended(items: Sequence[Item]) -> list[Item]:
    """Apply every rule of this module to the items of a text, in turn."""
    found = list(items)
    _gears(found)
    _steady(found)
    _resting(found)
    _after_a_stop(found)
    _same_sides(found)
    return found


def _plain(item: Item) -> None:
    item.kind, item.values, item.tags = "word", (), frozenset({"trap"})


def _gears(items: list[Item]) -> None:
    """Read "first, second and fourth": bare ordinals in a list of gears are gears."""
    for step in (1, -1):
        order = items[::step]
        gear = False
        for item in order:
            word = item.text.lower()
            if any(v.axis == "gear" and v.value.isdigit() for v in item.values):
                gear = True
            elif gear and word in _ORDINALS and item.kind != "cond":
                item.kind, item.tags = "cond", frozenset()
                item.values = (Value("gear", _ORDINALS[word]),)
            elif word not in ("and", "or", "to", ",", "&"):
                gear = False


def _steady(items: list[Item]) -> None:
    """Read "constant 40" as a steady speed, and "held at the bite" not as one."""
    for item, after in zip(items, [*items[1:], None], strict=False):
        if item.kind != "cond":
            continue
        word = item.text.lower()
        number = after is not None and any(
            v.axis in ("speed", "rpm") and is_range(v.value) for v in after.values
        )
        if word == "constant" and number:
            item.values = (Value("load", "steady"),)
        elif word in _HELD and not number:
            named = after is not None and any(v.axis == "speed" for v in after.values)
            if not named:
                _plain(item)


def _after_a_stop(items: list[Item]) -> None:
    """Read "restart after half an hour" as a restart only, not as a long run."""
    for before, item in pairwise(items):
        restart = any(v.value == "heat-soak" for v in before.values)
        if (
            restart
            and item.text.lower().startswith("after")
            and any(v.value == "long-run" for v in item.values)
        ):
            _plain(item)


def _same_sides(items: list[Item]) -> None:
    """Read "on left lock but not on right": the second side is a turn too."""
    for place, item in enumerate(items):
        words = item.text.lower().split()
        if item.kind != "cond" or words[:1] not in (["on"], ["to"]) or words[-1] not in _SIDES:
            continue
        for before in items[max(0, place - 4) : place]:
            if any(v.axis == "steer" and v.value in _SIDES for v in before.values):
                item.values = (Value("steer", words[-1]),)


def _resting(items: list[Item]) -> None:
    """Read "parked outside overnight" as a night's rest, not as a car that stands."""
    for place, item in enumerate(items):
        if item.kind != "cond" or item.text.lower() not in _RESTING:
            continue
        for after in items[place + 1 : place + 4]:
            if after.kind == "stop":
                break
            if any(v.axis == "history" and v.value in _RESTED for v in after.values):
                _plain(item)
                break
