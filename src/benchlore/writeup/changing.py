"""What changed between two states of a form, put into a note without moving anything else."""

from __future__ import annotations

from collections.abc import Mapping

from benchlore.notes import set_field
from benchlore.notes.compose import filled
from benchlore.notes.parts import set_body
from benchlore.notes.quoting import Value

Step = str | int
Change = tuple[tuple[Step, ...], Value]
"""The way to a value in the front matter, and the value it is to have."""


def changes(before: Mapping[str, Value], after: Mapping[str, Value]) -> list[Change]:
    """The smallest values that must be set to get from `before` to `after`.

    A field that is emptied gets an empty value: its line stays. Of a list that lost an item the
    whole is set, as the items behind have moved.
    """
    found: list[Change] = []
    for key in (*before, *(key for key in after if key not in before)):
        _compare((key,), before.get(key, ""), after.get(key, ""), found)
    return found


def _compare(path: tuple[Step, ...], before: Value, after: Value, found: list[Change]) -> None:
    if before == after or not (filled(before) or filled(after)):
        return
    if isinstance(before, dict) and isinstance(after, dict):
        for key in (*before, *(key for key in after if key not in before)):
            _compare((*path, key), before.get(key, ""), after.get(key, ""), found)
    elif isinstance(before, list) and isinstance(after, list) and len(after) >= len(before) > 0:
        for place, item in enumerate(after):
            if place < len(before):
                _compare((*path, place), before[place], item, found)
            elif filled(item):
                found.append(((*path, place), filled(item)))
    else:
        found.append((path, filled(after) if filled(after) else _nothing(after)))


def _nothing(value: Value) -> Value:
    return "" if isinstance(value, str) else type(value)()


def changed_note(data: bytes, made: list[Change], body: str | None = None) -> bytes:
    """Return the file `data` with the changes `made` in its front matter, and its new body.

    Args:
        data: the whole file.
        made: as `changes` gives them.
        body: None to leave the body as it is.

    Raises:
        NotEditable: a change cannot be made safely; nothing is lost, `data` is as it was.
    """
    for path, value in made:
        data = set_field(data, path, value)
    return data if body is None else set_body(data, body)
