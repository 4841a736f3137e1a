"""Axis nouns: "makes no difference what the speed is", "no speed where it doesn't"."""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.language.items import Clause, Draft, Item, Value
from benchlore.language.ranges import span_of
from benchlore.language.scope import Reading
from benchlore.language.states import State, state_of

_PAIRS = {
    "clutch": ("gear", "clutch-down", "clutch-up"),
    "ac": ("consumers", "ac-on", "ac-off"),
    "lights": ("consumers", "lights-on", "lights-off"),
}
_WHOLE = {"bump": "road", "rough": "road", "smooth": "road", "turning": "steer", "blip": "rpm"}
"""Conditions that stand for their axis where they make no difference."""


def axis_nouns(reading: Reading) -> Iterator[Draft]:
    """P19, P22, P25, P43: an axis named without a value."""
    clause = reading.clause
    if _none_without(clause) or any(
        state_of(run, lacking=False) in (State.NO_EFFECT, State.SAME) for run in reading.runs
    ):
        for item in _named(clause):
            yield from _any(item)


def _none_without(clause: Clause) -> bool:
    """P25: "no speed where it doesn't vibrate"."""
    denials = [place for place, item in enumerate(clause.items) if item.tags & {"no", "not"}]
    if len(denials) < 2 or denials[0] > 2 or clause.conditions:
        return False
    return any(item.names for item in clause.items[denials[0] + 1 : denials[0] + 4])


def _named(clause: Clause) -> Iterator[Item]:
    for item in clause.items:
        if item.names and (item.kind == "cue" or not item.values):
            yield item


def _any(item: Item) -> Iterator[Draft]:
    for name in item.names:
        if name in _PAIRS:
            axis, one, other = _PAIRS[name]
            yield Draft(Value(axis, one), "+", item)
            yield Draft(Value(axis, other), "+", item)
        else:
            yield Draft(Value(name, "any"), "+", item)


def without_effect(value: Value) -> tuple[Value, ...]:
    """P19, P22: what "not affected by X" says of X."""
    axis = _WHOLE.get(value.value)
    if axis == value.axis or value.axis == "steer":
        return (Value(value.axis, "any"),)
    for axis, one, other in _PAIRS.values():
        if value.axis == axis and value.value in (one, other):
            return (Value(axis, one), Value(axis, other))
    return (Value(value.axis, value.value, span_of(value.axis, value.value) or value.span),)
