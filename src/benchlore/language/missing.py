"""Conditions that are themselves what is missing: "no reverse", "won't restart hot"."""

from __future__ import annotations

from benchlore.language.items import Item
from benchlore.language.states import Run

_FUNCTIONS = frozenset(
    {
        ("rpm", "idle"),
        ("rpm", "cranking"),
        ("load", "accelerating"),
        ("load", "pull-away"),
        ("history", "heat-soak"),
        ("rpm", "blip"),
        ("consumers", "screen-on"),
        ("consumers", "blower-on"),
    }
)


def missing_function(run: Run, item: Item) -> bool:
    """P29, P30: "no reverse", "won't restart hot": the denied word is a function itself."""
    if len(run.items) != 1 or run.words or item.first != run.items[0].last:
        return False
    if run.items[0].text.lower() in ("not", "never", "is not", "isn't", "isnt", "wasn't"):
        return False
    if not run.has("no", "not", "lack", "refusal"):
        return False
    if item.text.lower().startswith(("under ", "on ", "in ", "at ", "with ", "when ", "from ")):
        return False
    return any(v.axis == "gear" or (v.axis, v.value) in _FUNCTIONS for v in item.values)
