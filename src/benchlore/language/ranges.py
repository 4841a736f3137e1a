"""Ranges turned round: everything outside one, and everything from a number on."""

from __future__ import annotations

from math import inf

from benchlore.language.items import Value
from benchlore.language.spans import BANDS, Span, complements, is_range


def span_of(axis: str, name: str) -> Span | None:
    """Return the range of a named value, None where it has none."""
    return BANDS.get((axis, name))


def outside(value: Value) -> list[Value]:
    """Return the ranges outside a written range: one for `>=60`, two for `60` or `55..65`."""
    span = value.span
    found = []
    for written in complements(value.value):
        part = None
        if span is not None:
            low, high = span.low, span.high
            part = (
                Span(-inf, low, span.unit)
                if written.startswith("<")
                else Span(high, inf, span.unit)
            )
        found.append(Value(value.axis, written, part))
    return found


def at_least(value: Value) -> Value:
    """Return `>=N` for a single number N of a numeric axis; anything else as it is."""
    if value.axis not in ("rpm", "speed") or not is_range(value.value):
        return value
    if not value.value[0].isdigit() or ".." in value.value:
        return value
    span = Span(value.span.low, inf, value.span.unit) if value.span else None
    return Value(value.axis, f">={value.value}", span)
