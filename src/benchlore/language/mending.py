"""Items that are understood only beside their neighbours."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from benchlore.language.axes import OPPOSITE
from benchlore.language.items import Item, Value
from benchlore.language.likenesses import leave_likenesses, plain
from benchlore.language.spans import BANDS, is_range

_ORDINALS = {"first": "1", "second": "2", "third": "3"}
_LETTERS = {"r": "reverse", "n": "neutral", "d": "drive", "p": "park"}
_NAMES = _ORDINALS | _LETTERS
_LISTED = frozenset({*"12345678", "reverse", "neutral", "drive", "park", "top"})
_ALONE = frozenset({"that", "is", "only", "too", "and", "or", "where", "which", "when", "thats"})
_LEADING_TO_A_GEAR = frozenset({"it's", "its", "is", "in", "into", "from", "for"})
_HELD = ("sat at", "held at", "sitting at", "holding", "hold")
_AT = frozenset({"at", "a", "on", "the", "held", "hold", "holding", "keep", "keeping", "under"})
_LEADS = (["once"], ["when"], ["after"], ["whenever"], ["till"], ["until"])
_WITH_IT = ("with", "when", "if", "once")
_TURNED = (["off"], ["on"], ["in"], ["out"], ["up"], ["down"])
_RESTED = {"overnight", "stood", "laid-up", "heat-soak"}
_SIDES = ("left", "right")
_HANDS = {"left": "left", "right": "right", "lh": "left", "rh": "right"}
_RESTING = ("parked", "stood", "standing", "stopped", "left")


def mended(items: Sequence[Item]) -> list[Item]:
    """Apply every rule of this module to the items of a text, in turn."""
    found = list(items)
    if any(value.axis == "gear" for item in found for value in item.values):
        _gears(found)
        _named_gear(found)
    _steady(found)
    _warmed(found)
    _cooled(found)
    _all_but(found)
    _pronoun(found)
    _resting(found)
    _rested(found)
    _after_a_stop(found)
    _same_sides(found)
    leave_likenesses(found)
    return found


def _gears(items: list[Item]) -> None:
    """Read "first, second and fourth": bare ordinals in a list of gears are gears."""
    for step in (1, -1):
        order = items[::step]
        gear = False
        for item in order:
            if item.kind == "cond":
                gear = any(v.axis == "gear" and v.value in _LISTED for v in item.values)
            if item.kind == "cond" or not gear:
                continue
            word = item.text.lower()
            if word in _NAMES:
                item.kind, item.tags = "cond", frozenset()
                item.values = (Value("gear", _NAMES[word]),)
            elif word not in ("and", "or", "to", ",", "&"):
                gear = False


def _warmed(items: list[Item]) -> None:
    """Read "until the oil warms up", "once it heats up" as hot: it is about the end of it."""
    for place, item in enumerate(items):
        warms = item.kind == "cond" and item.text.lower().startswith(("warms", "heats"))
        if warms and any(v.value == "warming" for v in item.values):
            before = items[max(0, place - 3) : place]
            if any("until" in b.tags or b.text.lower().split()[:1] in _LEADS for b in before):
                item.values = (Value("temp", "hot", BANDS["temp", "hot"]),)


def _cooled(items: list[Item]) -> None:
    """Read "overheats idling, cools right down at speed" as an end, not as a cold engine."""
    for place, item in enumerate(items):
        cools = item.kind == "cond" and item.text.lower().startswith("cools ")
        if cools and (place == 0 or items[place - 1].kind == "stop"):
            item.kind, item.values, item.tags = "cue", (), frozenset({"gone"})


def _all_but(items: list[Item]) -> None:
    """P14: read "in every gear but reverse" as an exception."""
    for place, item in enumerate(items[1:-1], 1):
        if item.kind != "cue" or not item.tags & {"but", "except"}:
            continue
        every = any(value.value == "any" for value in items[place - 1].values)
        if every and items[place + 1].kind == "cond":
            item.tags = frozenset({"except"})


def _pronoun(items: list[Item]) -> None:
    """Read "noisy with the a/c on, quiet with it off": "it" is what was named before."""
    for place, two in enumerate(items[2:]):
        if two.kind != "cue" or items[place + 1].text.lower() != "it":
            continue
        turned = two.text.lower().split()[-1:] in _TURNED
        if items[place].text.lower() not in _WITH_IT or not turned:
            continue
        conditions = [item for item in items[:place] if item.kind == "cond"]
        for value in conditions[-1].values if conditions else ():
            other = OPPOSITE.get((value.axis, value.value), "")
            if value.axis in ("consumers", "gear") and other:
                two.kind, two.tags = "cond", frozenset()
                two.values = (Value(value.axis, other),)
        if two.kind == "cue":
            plain(two)  # a clause that says something of its own


def _named_gear(items: list[Item]) -> None:
    """Read "reverse is fine, it's first that crunches": an ordinal where gears are spoken of."""
    spoken = False
    for before, item, after in zip([None, *items], items, [*items[1:], None], strict=False):
        if item.kind == "stop":
            spoken = spoken and "sentence" not in item.tags
            continue
        if item.kind == "cond":
            spoken = spoken or any(value.axis == "gear" for value in item.values)
            continue
        word = item.text.lower()
        if not spoken or word not in _ORDINALS:
            continue
        ends = after is None or after.kind == "stop"
        led = before is not None and before.text.lower() in _LEADING_TO_A_GEAR
        if (ends and led) or (after is not None and after.text.lower() in _ALONE):
            item.kind, item.tags = "cond", frozenset()
            item.values = (Value("gear", _ORDINALS[word]),)


def _rested(items: list[Item]) -> None:
    """Read "after sitting 20 minutes" as what the figure says, not as any stand."""
    for before, item in pairwise(items):
        stood = before.kind == "cond" and [v.value for v in before.values] == ["stood"]
        if stood and any(v.axis == "history" and v.value in _RESTED for v in item.values):
            plain(before)


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
        elif word == "steady" and after is not None and "bad" in after.tags:
            plain(item)
        elif word == "steady" and not _at_a(items, item) and not _plain_speed(after):
            item.kind, item.values, item.tags = "cue", (), frozenset({"fine"})
        elif word in _HELD and not number:
            named = after is not None and any(v.axis == "speed" for v in after.values)
            if not named:
                plain(item)


def _at_a(items: Sequence[Item], item: Item) -> bool:
    before = items[items.index(item) - 1] if items.index(item) else None
    return before is not None and not _AT.isdisjoint(before.text.lower().split()[-1:])


def _plain_speed(item: Item | None) -> bool:
    """Say whether a road speed follows that is no bound: "steady 50"."""
    values = item.values if item is not None else ()
    return any(v.axis == "speed" and v.value[0] not in "<>" for v in values)


def _after_a_stop(items: list[Item]) -> None:
    """Read "restart after half an hour" as a restart only, not as a long run."""
    for before, item in pairwise(items):
        restart = any(v.value == "heat-soak" for v in before.values)
        if (
            restart
            and item.text.lower().startswith("after")
            and any(v.value == "long-run" for v in item.values)
        ):
            plain(item)


def _same_sides(items: list[Item]) -> None:
    """Read "on left lock but not on right", "louder RH bend, quiet LH": a turn both times."""
    for place, item in enumerate(items):
        if item.kind != "cond":
            continue
        words = item.text.lower().split() or [""]
        side = _HANDS.get(words[-1].replace("/", ""), "")
        alone = len(words) == 1 and (place + 1 == len(items) or items[place + 1].kind == "stop")
        if not side or not (words[0] in ("on", "to") or alone):
            continue
        for before in items[max(0, place - 4) : place]:
            if any(v.axis == "steer" and v.value in _SIDES for v in before.values):
                item.values = (Value("steer", side),)


def _resting(items: list[Item]) -> None:
    """Read "parked outside overnight" as a night's rest, not as a car that stands."""
    for place, item in enumerate(items):
        if item.kind != "cond" or item.text.lower() not in _RESTING:
            continue
        for after in items[place + 1 : place + 4]:
            if after.kind == "stop":
                break
            if any(v.axis == "history" and v.value in _RESTED for v in after.values):
                plain(item)
                break
