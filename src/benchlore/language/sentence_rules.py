"""Rules over a whole sentence, each with its number in the trade reference."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import inf

from benchlore.language.items import Draft, Item, Value
from benchlore.language.nouns import without_effect
from benchlore.language.ranges import outside, span_of
from benchlore.language.scope import Governed, Reading
from benchlore.language.spans import Span, is_range, written
from benchlore.language.states import State


def apply_rules(drafts: Sequence[Draft], readings: Sequence[Reading]) -> list[Draft]:
    """Apply every rule of this module in turn."""
    found = list(drafts)
    found = no_effect(found, readings)
    found = same_on_all(found, readings)
    found = one_follows_not_the_other(found, readings)
    found = then_no_more(found, readings)
    found = nothing_above_or_below(found, readings)
    found = in_neutral_at_rest(found)
    found = present_wins(found)
    return used_to_be(found, readings)


def _governed(readings: Sequence[Reading], state: State) -> list[Governed]:
    return [g for reading in readings for g in reading.governed if g.state is state]


def no_effect(drafts: list[Draft], readings: Sequence[Reading]) -> list[Draft]:
    """P19, P22: a condition that has no effect says "any" of its axis, or both of its pair."""
    idle = {id(g.item) for g in _governed(readings, State.NO_EFFECT)}
    found = []
    for draft in drafts:
        if id(draft.item) in idle and draft.item.kind == "cond":
            found += [Draft(value, "+", draft.item) for value in without_effect(draft.value)]
        else:
            found.append(draft)
    return found


def same_on_all(drafts: list[Draft], readings: Sequence[Reading]) -> list[Draft]:
    """P20: "same hot or cold" is any temperature; other pairs do not cover their axis."""
    same = {id(g.item) for s in (State.SAME, State.NO_EFFECT) for g in _governed(readings, s)}
    temp = [d for d in drafts if d.value.axis == "temp" and id(d.item) in same]
    if {"cold", "hot"} <= {d.value.value for d in temp}:
        kept = [d for d in drafts if d not in temp]
        return [*kept, Draft(Value("temp", "any"), "+", temp[0].item)]
    return drafts


def one_follows_not_the_other(drafts: list[Draft], readings: Sequence[Reading]) -> list[Draft]:
    """P22: "revs have no effect, follows road speed": then it does not follow the revs."""
    values = {(d.value.axis, d.value.value): d for d in drafts if d.sign == "+"}
    speed = values.get(("course", "tracks-speed"))
    revs = values.get(("course", "tracks-rpm"))
    named = {name for r in readings for item in r.clause.items for name in item.names if r.denies}
    idle = {axis for (axis, value) in values if value == "any"}
    if speed and not revs and (idle & {"rpm", "load", "gear"} or "rpm" in named):
        return [*drafts, Draft(Value("course", "tracks-rpm"), "-", speed.item, implied=True)]
    if revs and not speed and ("speed" in idle or "speed" in named):
        return [*drafts, Draft(Value("course", "tracks-speed"), "-", revs.item, implied=True)]
    return drafts


def then_no_more(drafts: list[Draft], readings: Sequence[Reading]) -> list[Draft]:
    """P13: "up to 40 then smooth", "between 55 and 65 then smooths out": not above it."""
    found = list(drafts)
    brief = any(d.value.value in ("first-seconds", "first-use") for d in drafts)
    for before, reading in pairwise(readings):
        ends = reading.last in (State.ABSENT, State.GONE) and not reading.governed
        after = reading.clause.intro == "then" or reading.clause.has("then")
        if not ends or not after:
            continue
        for draft in drafts:
            if draft.sign == "+" and any(draft.item is item for item in before.clause.items):
                found += _no_more_than(draft.value, draft.item, brief)
    return found


_HIGHER = frozenset({"above", "over", "faster", "higher", "beyond"})
_LOWER = frozenset({"below", "under", "slower", "lower"})


def nothing_above_or_below(drafts: list[Draft], readings: Sequence[Reading]) -> list[Draft]:
    """Read "at 3000, nothing above or below" and "under 20, can't hear it any faster"."""
    found = list(drafts)
    for before, reading in pairwise(readings):
        if reading.governed or reading.last not in (State.ABSENT, State.GONE):
            continue
        words = {word for item in reading.clause.items for word in item.text.lower().split()}
        for draft in drafts:
            value = draft.value
            ranged = value.axis in ("rpm", "speed") and is_range(value.value)
            if draft.sign != "+" or draft.item not in before.clause.items or not ranged:
                continue
            for other in outside(value):
                wanted = _HIGHER if other.value.startswith(">") else _LOWER
                if words & wanted or {"either", "side"} <= words or "outside" in words:
                    found.append(Draft(other, "-", draft.item))
    return found


def in_neutral_at_rest(drafts: list[Draft]) -> list[Draft]:
    """Read "at the lights, pop it into neutral": out of gear at rest is no rolling in neutral."""
    if not any((d.value.axis, d.value.value) in _AT_REST for d in drafts):
        return drafts
    return [
        d
        for d in drafts
        if (d.value.axis, d.value.value) != ("load", "neutral-roll")
        or not {"roll", "coas", "free"}.isdisjoint(word[:4] for word in d.item.text.lower().split())
    ]


_AT_REST = {("load", "standing"), ("speed", "stationary"), ("rpm", "idle")}


def present_wins(drafts: list[Draft]) -> list[Draft]:
    """Keep "braking hard" where "not when braking gently" denies a part of it only."""
    shown = {(d.value.axis, d.value.value) for d in drafts if d.sign == "+" and not d.implied}
    return [d for d in drafts if d.sign == "+" or (d.value.axis, d.value.value) not in shown]


def _no_more_than(value: Value, item: Item, brief: bool) -> list[Draft]:
    if (value.axis, value.value) == ("temp", "cold") and not brief:
        return [Draft(Value("temp", "hot", span_of("temp", "hot")), "-", item, implied=True)]
    if value.axis not in ("rpm", "speed") or not is_range(value.value) or value.span is None:
        return []
    if value.value.startswith(">") or value.span.high == inf:
        return []
    number, _, unit = value.value.lstrip("<=").partition(" ")
    top = float(number.rpartition("..")[2])
    sign = ">=" if value.value.startswith("<") and not value.value.startswith("<=") else ">"
    text = f"{sign}{written(top)} {unit}".rstrip()
    return [Draft(Value(value.axis, text, Span(value.span.high, inf, value.span.unit)), "-", item)]


def used_to_be(drafts: list[Draft], readings: Sequence[Reading]) -> list[Draft]:
    """P33: "used to be cold only, now hot as well" is getting worse."""
    start = next((i for r in readings for i in r.clause.items if "used-to" in i.tags), None)
    now = any(r.clause.has("now") for r in readings)
    more = any(r.clause.has("both") for r in readings)
    constant = any(d.value.value == "constant" for d in drafts)
    if start is not None and now and (more or constant):
        return [*drafts, Draft(Value("course", "worsening"), "+", start)]
    return drafts
