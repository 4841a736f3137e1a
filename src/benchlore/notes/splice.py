"""Replaces a few characters of a note and leaves every other byte as it was."""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.notes.decode import decode
from benchlore.notes.edit import NotEditable, set_field
from benchlore.notes.frontmatter import FrontMatter, read_front_matter
from benchlore.notes.lines import LineIndex
from benchlore.notes.nodes import Map, Node, Scalar

Way = tuple[str | int, ...]
"""From the top of the front matter to a value: `("checks", 0, "value")`."""


def replace_text(data: bytes, start: int, end: int, new: str) -> bytes:
    """Replace `text[start:end]` of a note's decoded text with `new`.

    In front matter only the one value that holds the text may come to say something else; where
    it must be quoted for that, it is.

    Raises:
        NotEditable: it cannot be done so; nothing was changed.
        NotText: the file is no text.
    """
    decoded = decode(data)
    before = read_front_matter(decoded.text, LineIndex(decoded.text))
    insertable = decoded.insertable(new)
    if not before.whole and start < before.body:
        raise NotEditable("the front matter cannot be read as a whole", "mend it in an editor")
    way, scalar = _value_at(before, start, end)
    if insertable is not None:
        text = decoded.text[:start] + new + decoded.text[end:]
        raw = decoded.raw[:start] + insertable + decoded.raw[end:]
        changed = decoded.encode(raw)
        if decode(changed).text == text and _says(text, before, way, decoded.text[start:end], new):
            return changed + data[decoded.used :]
    old = decoded.text[start:end]
    if scalar is not None and scalar.text.count(old) == 1 and "\n" not in scalar.text:
        return set_field(data, way, scalar.text.replace(old, new))
    raise NotEditable("this cannot be changed safely here", "change it in an editor")


def _values(node: Node | None, way: Way = ()) -> Iterator[tuple[Way, Scalar]]:
    """Every text of a tree with the way to it, keys left out."""
    if isinstance(node, Scalar):
        yield way, node
    elif isinstance(node, Map):
        for entry in node.entries:
            yield from _values(entry.value, (*way, entry.key.text))
    elif node is not None:
        for number, item in enumerate(node.items):
            yield from _values(item, (*way, number))


def _value_at(matter: FrontMatter, start: int, end: int) -> tuple[Way, Scalar | None]:
    """The value of the front matter that the characters from `start` to `end` stand in."""
    for way, scalar in _values(matter.root):
        if scalar.start <= start and end <= scalar.end:
            return way, scalar
    return (), None


def _says(text: str, before: FrontMatter, way: Way, old: str, new: str) -> bool:
    """Say whether front matter says what it said, but for `new` in the value at `way`."""
    after = read_front_matter(text, LineIndex(text))
    if after.whole != before.whole or (after.inner is None) != (before.inner is None):
        return False
    was, now = list(_values(before.root)), list(_values(after.root))
    if [each for each, _ in was] != [each for each, _ in now]:
        return False
    return all(
        one.text == other.text if place != way else other.text in _replaced(one.text, old, new)
        for (place, one), (_, other) in zip(was, now, strict=True)
    )


def _replaced(text: str, old: str, new: str) -> set[str]:
    """`text` with one of the places where `old` stands replaced, each of them."""
    found, at = set(), text.find(old)
    while at >= 0:
        found.add(text[:at] + new + text[at + len(old) :])
        at = text.find(old, at + 1)
    return found
