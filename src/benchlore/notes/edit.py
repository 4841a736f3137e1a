"""Changes one field of a note and leaves every other byte as it was."""

from __future__ import annotations

from dataclasses import dataclass

from benchlore.errors import NOT_WRITTEN, BenchloreError
from benchlore.notes.decode import Decoded, decode
from benchlore.notes.fields import FORMAT
from benchlore.notes.frontmatter import FrontMatter, read_front_matter
from benchlore.notes.lines import LineIndex, first_line_end
from benchlore.notes.nodes import Entry, Map, Node, Scalar, Seq, as_text, key_name
from benchlore.notes.quoting import Renderer, Value

Key = str | tuple[str | int, ...]
"""A top-level key, or the way to a nested value: `("checks", 0, "value")`."""

_Said = str | list["_Said"] | tuple[tuple[str, "_Said"], ...]


class NotEditable(BenchloreError, ValueError):
    """A note whose front matter cannot be changed safely; nothing was changed."""

    exit_code = NOT_WRITTEN


@dataclass(frozen=True, slots=True)
class _Edit:
    """Replace the text from `start` up to but without `end`."""

    start: int
    end: int
    new: str


def set_field(data: bytes, key: Key, value: Value) -> bytes:
    """Change or add one field of a note's front matter.

    Args:
        data: the whole file.
        key: the field; a missing one is added at the end of what it belongs to, and front matter
            is made where the file has none. Of a key that stands twice the first is changed.
        value: texts, in lists and dicts as deep as needed; they are quoted only where they must.

    Returns:
        The whole file with the field changed: comments, order, quoting and line ends elsewhere,
        encoding and byte order mark stay. `data` itself when it says `value` already.

    Raises:
        NotEditable: the front matter cannot be read as a whole, is of a newer format, or has
            another shape than `key` needs.
        NotText: the file is no text.
    """
    path = (key,) if isinstance(key, str) else key
    if not path or not isinstance(path[0], str):
        raise NotEditable("a field needs a name")
    decoded = decode(data)
    index = LineIndex(decoded.text)
    matter = read_front_matter(decoded.text, index)
    refuse_uneditable(matter)
    before = _said(matter.root) if matter.root else ()
    after = _with(before, path, _said_value(value))
    if after == before and matter.root:
        return data
    for lacking in _lacking(decoded, value):
        edits = _Editor(decoded.text, matter, index, lacking).edits(path, value)
        changed = _apply(decoded, edits, after)
        if changed is not None:
            return changed + data[decoded.used :]
    raise NotEditable(f"'{path[0]}' cannot be changed safely here", "edit the file by hand")


def _lacking(decoded: Decoded, value: Value) -> list[frozenset[str]]:
    """Characters of `value` to escape: those the encoding lacks; if that fails all but ASCII.

    Two letters of Windows-1252 may look like one of UTF-8, and the file would be read as such.
    """
    characters = set(str(value))
    lacks = frozenset(char for char in characters if decoded.insertable(char) is None)
    return [lacks, frozenset(char for char in characters if not char.isascii())]


def _apply(decoded: Decoded, edits: list[_Edit], after: _Said) -> bytes | None:
    """The bytes that were read, edited; None unless they are then read as what `after` says."""
    text, raw = decoded.text, decoded.raw
    for edit in sorted(edits, key=lambda edit: edit.start, reverse=True):
        new = decoded.insertable(edit.new)
        if new is None:
            return None
        text = text[: edit.start] + edit.new + text[edit.end :]
        raw = raw[: edit.start] + new + raw[edit.end :]
    again = read_front_matter(text, LineIndex(text))
    if not again.whole or again.root is None or _said(again.root) != after:
        return None
    changed = decoded.encode(raw)
    return changed if text.startswith(decode(changed).text) else None


def refuse_uneditable(matter: FrontMatter) -> None:
    """Raise NotEditable where front matter cannot be read as a whole or is of a newer format."""
    if not matter.whole:
        first = matter.problems[0] if matter.problems else None
        reason = f" (line {first.line}: {first.what})" if first else ""
        raise NotEditable(
            f"the front matter cannot be read as a whole{reason}", "mend it in an editor first"
        )
    for entry in matter.entries:
        written = as_text(entry.value).strip()
        if key_name(entry.key.text) == "format" and written not in ("", FORMAT):
            raise NotEditable(
                f"the note is of format {written}, this benchlore writes format {FORMAT}",
                "use a newer benchlore",
            )


def _said(node: Node) -> _Said:
    """What a node says, without how it is written."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Seq):
        return [_said(item) for item in node.items]
    return tuple((entry.key.text, _said(entry.value)) for entry in node.entries)


def _said_value(value: Value) -> _Said:
    if isinstance(value, str):
        return value
    if isinstance(value, list):
        return [_said_value(item) for item in value]
    return tuple((name, _said_value(item)) for name, item in value.items())


def _with(said: _Said, path: tuple[str | int, ...], value: _Said) -> _Said:
    """`said` with the value at `path` changed or added: what the edited file must say."""
    if not path:
        return value
    step, rest = path[0], path[1:]
    if isinstance(step, str) and (isinstance(said, tuple) or said == ""):
        pairs = said if isinstance(said, tuple) else ()
        at = _position([name for name, _ in pairs], step)
        if at is None:
            return (*pairs, (step, _with("", rest, value)))
        return (*pairs[:at], (pairs[at][0], _with(pairs[at][1], rest, value)), *pairs[at + 1 :])
    if isinstance(step, int) and (isinstance(said, list) or said == ""):
        items = said if isinstance(said, list) else []
        if 0 <= step < len(items):
            return [*items[:step], _with(items[step], rest, value), *items[step + 1 :]]
        if step == len(items):
            return [*items, _with("", rest, value)]
        raise NotEditable(f"there is no item {step + 1}, the list has {len(items)}")
    raise NotEditable(f"'{step}' does not fit what stands in its place")


def _position(names: list[str], name: str) -> int | None:
    """Where `name` stands, spelled the same if possible."""
    if name in names:
        return names.index(name)
    spelled = [key_name(each) for each in names]
    return spelled.index(key_name(name)) if key_name(name) in spelled else None


def _nested(path: tuple[str | int, ...], value: Value) -> Value:
    """`value` below the names and list places of `path`."""
    for step in reversed(path):
        value = {step: value} if isinstance(step, str) else [value]
    return value


@dataclass(frozen=True, slots=True)
class _Place:
    """A node and what it belongs to: the entry it is the value of, if any."""

    node: Node
    entry: Entry | None
    flow: bool


class _Editor:
    """Finds the edits of one change."""

    def __init__(
        self, text: str, matter: FrontMatter, index: LineIndex, lacking: frozenset[str]
    ) -> None:
        self._text = text
        self._matter = matter
        self._index = index
        self._end = first_line_end(text)
        self._render = Renderer(lacking)

    def edits(self, path: tuple[str | int, ...], value: Value) -> list[_Edit]:
        """What to replace so that `path` holds `value`; the path is known to fit."""
        root = self._matter.root
        if root is None:
            return [self._first_field(_nested(path, value))]
        place = _Place(root, None, root.flow)
        for depth, step in enumerate(path):
            if isinstance(place.node, Scalar):
                return self._replace(place, _nested(path[depth:], value))
            found = _child(place, step)
            if found is None:
                return [self._insert(place, step, _nested(path[depth + 1 :], value))]
            place = found
        return self._replace(place, value)

    def _lines(self, value: Value, column: int) -> str:
        return "".join(line + self._end for line in self._render.lines(value, column))

    def _first_field(self, value: Value) -> _Edit:
        """The first field of empty front matter, or front matter where there is none."""
        if self._matter.inner is not None:
            return _Edit(self._matter.inner.end, self._matter.inner.end, self._lines(value, 0))
        fence = "---" + self._end
        return _Edit(0, 0, fence + self._lines(value, 0) + fence)

    def _column(self, offset: int) -> int:
        return self._index.place(offset)[1] - 1

    def _after_line(self, offset: int) -> int:
        """The offset of the line after the one that holds `offset`."""
        return self._index.offset(self._index.line(offset) + 1)

    def _insert(self, place: _Place, step: str | int, value: Value) -> _Edit:
        """Add a field or item at the end of the group or list in `place`."""
        node = place.node
        added: Value = {step: value} if isinstance(step, str) else [value]
        if isinstance(node, Scalar):
            raise AssertionError("a text holds no field")
        if node.flow:
            inside = self._render.flow(added)[1:-1]
            children = node.entries if isinstance(node, Map) else node.items
            at = _end_of(children[-1]) if children else node.start + 1
            return _Edit(at, at, f", {inside}" if children else inside)
        first = node.entries[0].key if isinstance(node, Map) else node
        lines = self._lines(added, self._column(first.start))
        if node is self._matter.root and self._matter.inner is not None:
            at = self._matter.inner.end
        else:
            at = self._after_line(max(node.start, node.end - 1))
        return _Edit(at, at, lines)

    def _replace(self, place: _Place, value: Value) -> list[_Edit]:
        node, entry = place.node, place.entry
        if place.flow:
            return [self._inline_edit(place, self._render.flow(value))]
        inline = self._render.inline(value, row=entry is None)
        in_block = isinstance(node, Seq | Map) and not node.flow
        below = entry is not None and self._index.line(node.start) > self._index.line(entry.key.end)
        if inline is not None and in_block and below and entry is not None:
            start = self._index.offset(self._index.line(node.start))
            at = self._colon(entry) + 1
            end = self._after_line(max(node.start, node.end - 1))
            return [_Edit(at, at, f" {inline}"), _Edit(start, end, "")]
        if inline is not None:
            return [self._inline_edit(place, inline)]
        if entry is None or (in_block and below):
            lines = self._lines(value, self._column(node.start)).strip(" ")
            new = lines.removesuffix(self._end)
            return [self._inline_edit(place, new)]
        at = self._colon(entry) + 1
        after = self._after_line(max(at - 1, node.end - 1))
        lines = self._lines(value, self._column(entry.key.start) + 2)
        return [_Edit(at, max(at, node.end), ""), _Edit(after, after, lines)]

    def _inline_edit(self, place: _Place, new: str) -> _Edit:
        """Put `new` in the place of a node, also of one that is not written out."""
        node, entry = place.node, place.entry
        if node.start < node.end:
            return _Edit(node.start, node.end, new)
        if entry is None:
            return _Edit(node.start, node.end, f" {new}")
        if ":" in self._text[entry.key.end : node.start + 1]:
            at = self._colon(entry) + 1
            return _Edit(at, at, f" {new}")
        return _Edit(entry.key.end, entry.key.end, f": {new}")

    def _colon(self, entry: Entry) -> int:
        return self._text.index(":", entry.key.end)


def _end_of(child: Entry | Node) -> int:
    if isinstance(child, Entry):
        return max(child.key.end, child.value.end)
    return child.end


def _child(place: _Place, step: str | int) -> _Place | None:
    """The node that `step` leads to, or None where there is none yet."""
    node = place.node
    if isinstance(node, Map) and isinstance(step, str):
        at = _position([entry.key.text for entry in node.entries], step)
        if at is None:
            return None
        entry = node.entries[at]
        return _Place(entry.value, entry, place.flow or _is_flow(node))
    if isinstance(node, Seq) and isinstance(step, int) and step < len(node.items):
        return _Place(node.items[step], None, place.flow or _is_flow(node))
    return None


def _is_flow(node: Node) -> bool:
    return not isinstance(node, Scalar) and node.flow
