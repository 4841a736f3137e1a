"""A note that changed on disk while it was open: where the two differ, and what becomes of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from benchlore.notes.compose import filled
from benchlore.notes.parts import Parts
from benchlore.notes.quoting import Value
from benchlore.writeup.form import BODY, with_value

Take = Literal["mine", "theirs", "both"]

_GROUPS = ("machine", "outcome")
"""Keys whose values are compared one by one."""


@dataclass(frozen=True, slots=True)
class Difference:
    """A field in which what is typed and what stands on disk now differ.

    Attributes:
        key: the field, dotted inside a group; `BODY` for the free text.
        mine, theirs: both values.
        together: both values in one, where each side only added to a list; else None.
        take: which is taken if nobody chooses: the side that changed it, both where that can be,
            mine where both changed it.
        both: both sides changed it.
    """

    key: str
    mine: Value
    theirs: Value
    together: Value | None
    take: Take
    both: bool

    @property
    def choices(self) -> tuple[Take, ...]:
        """What can be taken."""
        return ("mine", "theirs") if self.together is None else ("both", "mine", "theirs")

    def value(self, take: Take) -> Value:
        """The value that `take` stands for."""
        if take == "both" and self.together is not None:
            return self.together
        return self.theirs if take == "theirs" else self.mine


def differences(base: Parts, mine: Parts, theirs: Parts) -> tuple[Difference, ...]:
    """Where `mine` and `theirs` differ; `base` is what both started from."""
    old, typed, found = _flat(base), _flat(mine), _flat(theirs)
    return tuple(_differences(old, typed, found))


def _differences(
    old: Mapping[str, Value], mine: Mapping[str, Value], theirs: Mapping[str, Value]
) -> Iterator[Difference]:
    for key in dict.fromkeys((*mine, *theirs)):
        was, here, there = (filled(each.get(key, "")) for each in (old, mine, theirs))
        if here == there or (not here and not there):
            continue
        changed_here, changed_there = here != was, there != was
        both = changed_here and changed_there
        together = _together(was, here, there) if both else None
        take: Take = "both" if together is not None else "mine" if changed_here else "theirs"
        yield Difference(key, here, there, together, take, both)


def _together(was: Value, mine: Value, theirs: Value) -> Value | None:
    """A list that both only added to, with what both added."""
    before = was if isinstance(was, list) else [] if not was else None
    if before is None or not (isinstance(mine, list) and isinstance(theirs, list)):
        return None
    size = len(before)
    if mine[:size] != before or theirs[:size] != before:
        return None
    return [*theirs, *(item for item in mine[size:] if item not in theirs)]


def merged(
    theirs: Parts, found: tuple[Difference, ...], takes: Mapping[str, Take]
) -> tuple[dict[str, Value], str]:
    """The fields and the body after a choice: `theirs` with what is taken of mine or both."""
    fields, body = dict(theirs.fields), theirs.body
    for difference in found:
        take = takes.get(difference.key, difference.take)
        if take == "theirs":
            continue
        value = difference.value(take)
        if difference.key == BODY:
            body = f"{value}\n"
        else:
            fields = with_value(fields, difference.key, value)
    return fields, body


def _flat(parts: Parts) -> dict[str, Value]:
    flat: dict[str, Value] = {}
    for key, value in parts.fields.items():
        if key in _GROUPS and isinstance(value, dict):
            flat.update({f"{key}.{name}": inner for name, inner in value.items()})
        else:
            flat[key] = value
    return {**flat, BODY: parts.body.strip("\n")}
