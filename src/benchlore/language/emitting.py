"""Governed conditions to signed readings: the rules of polarity, each with its number."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from benchlore.language.axes import COUNTERPART, DENIED_BY_ONLY, OPPOSITE
from benchlore.language.items import Draft, Item, Value
from benchlore.language.ranges import at_least, outside, span_of
from benchlore.language.scope import Governed
from benchlore.language.spans import is_range
from benchlore.language.states import PRESENT, State

WEAK = 0.4
"""Weight of what was tried and not seen (P35)."""

_GRADES = {State.WORSE: "worse", State.BETTER: "better"}
_BRIEF = {("history", "first-use"), ("course", "first-seconds")}
_AFTER = ("after", "within", "in a", "in seconds", "a mile down")


def emit(governed: Governed) -> Iterator[Draft]:
    """Yield what one governed condition says."""
    for value in _values(governed):
        for draft in _draft(governed, value):
            if governed.weak:
                draft.weight = WEAK
            yield draft


def _draft(governed: Governed, value: Value) -> Iterator[Draft]:
    item, state, operator = governed.item, governed.state or State.PRESENT, governed.operator
    if state is State.UNSAID:
        return
    if value.value == "any":
        if state in PRESENT or state is State.NO_EFFECT:
            yield Draft(value, "+", item)
    elif operator == "until" and (item.early or item.late):
        yield Draft(value, "+", item)  # "until it has run 5 minutes": there before, or from then
    elif _brief_ending(item, value, state) and operator in ("", "until"):
        yield Draft(value, "+", item)
    elif operator == "only":
        yield from only(item, value, state)
    elif operator == "not-only":
        yield from not_only(item, value)
    elif operator in ("except", "unless"):
        yield from exception(item, value, state)
    elif operator == "until":
        yield from until(item, value, state)
    elif operator == "rather":
        yield Draft(value, "-" if state in PRESENT else "+", item)
    else:
        yield from plain(item, value, state)


def _values(governed: Governed) -> Sequence[Value]:
    """Choose what "after 5 minutes" means: P18 where the symptom ends, else where it begins."""
    item = governed.item
    if not item.early and not item.late:
        return item.values
    ending = governed.state in (State.GONE, State.ABSENT, State.RETURN)
    if governed.operator == "until":
        ending = governed.state in PRESENT
    if ending and item.early:
        return item.early
    return item.late


def _brief_ending(item: Item, value: Value, state: State) -> bool:
    """P18: "clears after a couple of miles" says that it is there at first."""
    if state not in (State.GONE, State.ABSENT, State.RETURN):
        return False
    if item.early:
        return True
    text = item.text.lower()
    return (value.axis, value.value) in _BRIEF and text.startswith(_AFTER)


def plain(item: Item, value: Value, state: State) -> Iterator[Draft]:
    """P01..P04, P07..P10, P29..P32, P34: the state alone decides."""
    if state is State.GONE:
        yield Draft(value, "-", item)
        yield from _opposites(item, value, "+", ranges=False)
    elif state is State.ABSENT:
        if not (
            value.value == "heat-soak"
            and item.text.lower().startswith("restart")
            and len(item.values) == 1
        ):  # "restarts straight away": the function is there
            yield Draft(value, "-", item)
    elif state is State.RETURN:
        yield Draft(at_least(value), "-", item)
    elif state is State.ONSET:
        yield Draft(at_least(value), "+", item)
        yield from before(item, value, "-")
    else:
        yield Draft(value, "+", item, _GRADES.get(state, ""))


def before(item: Item, value: Value, sign: str) -> Iterator[Draft]:
    """P34: "comes on as it warms up": what was there before it has the other sign."""
    if (value.axis, value.value) == ("temp", "warming"):
        yield Draft(Value("temp", "cold", span_of("temp", "cold")), sign, item, implied=True)
    else:
        yield from _opposites(item, at_least(value), sign, ranges=True)


def only(item: Item, value: Value, state: State) -> Iterator[Draft]:
    """P05, P06, rule 2: "only X" denies what excludes X; "only clears at X" turns it round."""
    sign, other = ("+", "-") if state in PRESENT else ("-", "+")
    yield Draft(value, sign, item, _GRADES.get(state, ""))
    for denied in _denied(value):
        yield Draft(denied, other, item, implied=True)


def not_only(item: Item, value: Value) -> Iterator[Draft]:
    """P26: "not only when hot" says hot, and cold too."""
    yield Draft(value, "+", item)
    counterpart = COUNTERPART.get((value.axis, value.value))
    if counterpart:
        span = span_of(value.axis, counterpart)
        yield Draft(Value(value.axis, counterpart, span), "+", item, implied=True)


def exception(item: Item, value: Value, state: State) -> Iterator[Draft]:
    """P14, P17 after a bad symptom: -X and the opposite; P15, P16 after a good word: only X."""
    if state in PRESENT:
        yield Draft(value, "-", item)
        yield from _opposites(item, value, "+", ranges=False)
    else:
        yield from only(item, value, State.PRESENT)


def until(item: Item, value: Value, state: State) -> Iterator[Draft]:
    """P12: good until X: absent before it, present from it; P13: the other way round."""
    sign, other = ("-", "+") if state in PRESENT else ("+", "-")
    from_there = at_least(value)
    yield Draft(from_there, sign, item)
    yield from before(item, value, other)


def _denied(value: Value) -> list[Value]:
    if is_range(value.value) and value.axis != "gear":
        return outside(value)
    names = DENIED_BY_ONLY.get((value.axis, value.value), ())
    return [Value(value.axis, name, span_of(value.axis, name)) for name in names]


def _opposites(item: Item, value: Value, sign: str, *, ranges: bool) -> Iterator[Draft]:
    """Rule 3: the opposite of a value that has exactly one."""
    opposite = OPPOSITE.get((value.axis, value.value))
    if opposite:
        span = span_of(value.axis, opposite)
        yield Draft(Value(value.axis, opposite, span), sign, item, implied=True)
    elif ranges and is_range(value.value) and value.axis != "gear":
        for other in outside(value):
            yield Draft(other, sign, item, implied=True)
