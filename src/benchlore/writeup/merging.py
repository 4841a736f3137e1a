"""A note that changed on disk while it was open: where the two differ, and what becomes of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from benchlore.notes.compose import filled
from benchlore.notes.parts import Parts
from benchlore.notes.quoting import Value
from benchlore.writeup.form import BODY

Take = Literal["mine", "theirs"]


@dataclass(frozen=True, slots=True)
class Difference:
    """A field in which what is typed and what stands on disk now differ.

    Attributes:
        key: the field, `BODY` for the free text.
        mine, theirs: both values.
        take: which is taken if nobody chooses: the side that changed it, mine where both did.
        both: both sides changed it.
    """

    key: str
    mine: Value
    theirs: Value
    take: Take
    both: bool


def differences(base: Parts, mine: Parts, theirs: Parts) -> tuple[Difference, ...]:
    """Where `mine` and `theirs` differ; `base` is what both started from."""
    old, typed, found = _flat(base), _flat(mine), _flat(theirs)
    return tuple(_differences(old, typed, found))


def _differences(
    old: Mapping[str, Value], mine: Mapping[str, Value], theirs: Mapping[str, Value]
) -> Iterator[Difference]:
    for key in dict.fromkeys((*mine, *theirs)):
        was, here, there = (filled(each.get(key, "")) for each in (old, mine, theirs))
        if here == there:
            continue
        changed_here, changed_there = here != was, there != was
        take: Take = "mine" if changed_here else "theirs"
        yield Difference(key, here, there, take, changed_here and changed_there)


def merged(
    theirs: Parts, found: tuple[Difference, ...], takes: Mapping[str, Take]
) -> tuple[dict[str, Value], str]:
    """The fields and the body after a choice: `theirs` with my side of what is taken from mine."""
    fields, body = dict(theirs.fields), theirs.body
    for difference in found:
        if takes.get(difference.key, difference.take) == "theirs":
            continue
        if difference.key == BODY:
            body = str(difference.mine) + "\n"
        else:
            fields[difference.key] = difference.mine
    return fields, body


def _flat(parts: Parts) -> dict[str, Value]:
    return {**parts.fields, BODY: parts.body}
