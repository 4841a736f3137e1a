"""Items that only look like a condition or like praise, and are left as plain words."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from benchlore.language.items import Item

_KEEPING = frozenset({"always", "stays", "stayed", "stay", "kept", "keeps", "keep", "runs"})
_ADJECTIVES = frozenset({"sweet", "quiet", "nice", "good", "lovely", "clear", "great", "perfect"})
_TO_TOP = frozenset({"in", "into", "and", "or", "to", "for", "of", "than"})
_PREPOSITIONS = frozenset(
    {"at", "in", "on", "over", "under", "when", "with", "from", "above", "below", "once", "after"}
)
_PLUGGED = ["plugged", "in"]


def plain(item: Item) -> None:
    """Make a plain word of an item: it says nothing."""
    item.kind, item.values, item.tags = "word", (), frozenset({"trap"})


def leave_likenesses(items: Sequence[Item]) -> None:
    """Apply every rule of this module whose words stand in the text."""
    words = {item.text.lower() for item in items}
    if words & {"dry", "wet"}:
        _surface(items)
    if "top" in words:
        _top(items)
    if "like" in words:
        _likened(items)
    if not words.isdisjoint(_ADJECTIVES):
        _adjectives(items)
    _similes(items)
    _plugged(items)


def _surface(items: Sequence[Item]) -> None:
    """Leave "seal dry", "carpet wet": a thing is dry or wet there, not the day."""
    for before, item in pairwise(items):
        if item.kind != "cond" or item.text.lower() not in ("dry", "wet"):
            continue
        if (before.kind == "word" and not before.tags) or before.text.lower() in _KEEPING:
            plain(item)


def _top(items: Sequence[Item]) -> None:
    """Leave "over the top mark": top is the gear only where something leads to a gear."""
    for before, item in zip([None, *items], items, strict=False):
        if item.kind == "cond" and item.text.lower() == "top":
            last = before.text.lower().split()[-1:] if before is not None else []
            led = before is not None and (before.values or "except" in before.tags)
            if not led and not _TO_TOP.intersection(last):
                plain(item)


def _likened(items: Sequence[Item]) -> None:
    """Leave "sounds like stones in a tin", "like a milk float": a likeness is no condition."""
    for place, item in enumerate(items):
        if item.text.lower() != "like":
            continue
        for after in items[place + 1 : place + 4]:
            if after.kind == "stop" or after.text.lower() in _PREPOSITIONS:
                break
            if after.kind == "cond":
                if after.text.lower().split()[0] not in _PREPOSITIONS:
                    plain(after)
                break


def _adjectives(items: Sequence[Item]) -> None:
    """Read "sweet smell", "quiet rumble" as the symptom that they name."""
    for before, item in pairwise(items):
        if "bad" in item.tags and before.text.lower() in _ADJECTIVES:
            plain(before)


def _similes(items: Sequence[Item]) -> None:
    """Leave "ticks like a clock" a tick: a likeness is praise only of what it does well."""
    for before, item in pairwise(items):
        if "fine" not in item.tags:
            continue
        likeness = item.text.lower().startswith(("like ", "as "))
        symptom = "bad" in before.tags and "func" not in before.tags
        if likeness and symptom:
            plain(item)


def _plugged(items: Sequence[Item]) -> None:
    """Leave "with the tester plugged in": what is plugged in is named, and is not the car."""
    for before, item in pairwise(items):
        if before.kind == "word" and item.kind == "cond" and item.text.lower().split() == _PLUGGED:
            plain(item)
