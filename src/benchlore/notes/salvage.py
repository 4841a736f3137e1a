"""Front matter that cannot be read as a whole: read key by key.

A line that YAML cannot read usually holds a text that needs quotes (`limit: >= 1.0 bar`). Its value
is hidden behind letters of the same length and read again, so it comes out as it was typed, with
every offset unchanged. What cannot be cured that way stands as text.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from benchlore.notes.chunks import (
    GLUED,
    ITEM,
    KEY,
    Span,
    chunks,
    key_column,
    parts_of,
    pieces,
)
from benchlore.notes.lines import LineIndex, split_lines, without_end
from benchlore.notes.model import Problem
from benchlore.notes.nodes import (
    Entry,
    Map,
    Node,
    Scalar,
    Seq,
    Stand,
    TooMuch,
    Unreadable,
    key_name,
    parse,
)
from benchlore.notes.quoting import quoted

_REPAIRS = 20
"""Lines cured in one key or list item before it is left as text."""

_TABS = 0
"""Stands for all lines in a record of cured lines: tabs at their start were cured."""

_BUDGET = 400_000
_ATTEMPT = 1_000
"""Characters read again in one note, and what each attempt counts at least, so that a hostile note
costs less than half a second."""


@dataclass(slots=True)
class Salvaged:
    """What could be read.

    Attributes:
        entries: the keys that were read, in the file's order.
        unread: parts that stand as text, none of them blank.
        problems: one for every place that was not read as it stands.
    """

    entries: list[Entry] = field(default_factory=list)
    unread: list[Span] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


@dataclass(slots=True)
class _Repair:
    """A line whose value was hidden: where it starts and what stands there."""

    start: int
    key: str
    value: str
    stage: int


def salvage(text: str, span: Span, index: LineIndex) -> Salvaged:
    """Read the keys in `span` of `text` one by one."""
    return _Salvage(text, index).run(span)


class _Spent(Exception):
    """The budget of a note is used up."""


class _Salvage:
    """One pass over the front matter of one note."""

    def __init__(self, text: str, index: LineIndex) -> None:
        self._text = text
        self._index = index
        self._found = Salvaged()
        self._stand = Stand(text)
        self._budget = _BUDGET

    def run(self, span: Span) -> Salvaged:
        """Read all chunks of `span`."""
        for chunk in chunks(self._text, span):
            try:
                self._read(chunk)
            except _Spent:
                rest = Span(chunk.start, span.end)
                self._leave(rest, "the front matter cannot be read from here on")
                break
        return self._found

    def _read(self, chunk: Span) -> None:
        try:
            self._take(self._parse(chunk), chunk)
        except TooMuch as error:
            self._leave(chunk, error.what)
        except Unreadable as error:
            self._read_broken(chunk, error)

    def _parse(self, span: Span, work: str = "") -> Node | None:
        """Read a part of the text, or `work` in its place."""
        self._budget -= max(span.end - span.start, _ATTEMPT)
        if self._budget < 0:
            raise _Spent
        return parse(work or self._text[span.start : span.end], self._stand, span.start)

    def _take(self, node: Node | None, span: Span) -> None:
        if isinstance(node, Map):
            self._found.entries.extend(node.entries)
        elif node is not None:
            self._leave(span, "a line without 'name: ' in front")

    def _problem(self, offset: int, what: str, todo: str) -> None:
        self._found.problems.append(Problem(*self._index.place(offset), what, todo))

    def _leave(self, span: Span, what: str, todo: str = "", at: int | None = None) -> None:
        """Let `span` stand as text, and say so."""
        parts = pieces(self._text, span)
        if parts:
            self._found.unread.extend(parts)
            place = parts[0].start if at is None else at
            self._problem(place, what, todo or "kept as text, it is searched all the same")

    def _read_broken(self, chunk: Span, error: Unreadable) -> None:
        chunk, stray = self._without_stray_lines(chunk)
        if stray:
            try:
                self._take(self._parse(chunk), chunk)
            except Unreadable as inner:
                self._cure(chunk, inner)
        else:
            self._cure(chunk, error)
        for span in stray:
            self._read_stray(span)

    def _without_stray_lines(self, chunk: Span) -> tuple[Span, list[Span]]:
        """Cut off the lines in the key column that are neither key, item, comment nor bracket."""
        lines = split_lines(self._text[chunk.start : chunk.end])
        column = key_column(lines)
        offset = chunk.start
        stray: list[Span] = []
        for line in lines:
            bare = line[column:]
            known = not bare.strip() or bare[0] in " \t#]}" or ITEM.match(bare) or KEY.match(bare)
            if stray or not (known or line[:column].strip(" ")):
                stray.append(Span(offset, offset + len(line)))
            offset += len(line)
        return Span(chunk.start, stray[0].start if stray else chunk.end), stray

    def _read_stray(self, span: Span) -> None:
        """Read `name:value` with the space forgotten; anything else stands as text."""
        line = without_end(self._text[span.start : span.end])
        glued = GLUED.fullmatch(line.strip())
        if not glued:
            if line.strip():
                self._leave(span, "a line without 'name: ' in front")
            return
        start = span.start + len(line) - len(line.lstrip())
        key = Scalar(glued[1], start, start + len(glued[1]))
        value = Scalar(glued[2], start + glued.start(2), start + glued.end(2))
        self._found.entries.append(Entry(key, value))
        todo = f"read all the same; write {glued[1]}: {glued[2]}"
        self._problem(value.start, "the space after ':' is missing", todo)

    def _cure(self, chunk: Span, error: Unreadable) -> None:
        """Hide the values that cannot be read; failing that, read a list item by item."""
        cured = self._hide_and_read(chunk)
        if cured is not None:
            node, repairs = cured
            self._keep_cured(chunk, node, repairs)
            return
        items = self._items(chunk)
        if items and not isinstance(error, TooMuch):
            self._read_items(chunk, items)
            return
        at = chunk.start + error.offsets[0] if error.offsets else None
        self._leave(chunk, *self._diagnosis_at(at, error.what), at=at)

    def _diagnosis_at(self, offset: int | None, what: str) -> tuple[str, str]:
        if offset is None:
            return what, ""
        line = self._line_span(offset)
        written = without_end(self._text[line.start : line.end])
        parts = parts_of(written)
        if parts is None:
            return what, ""
        return _diagnosis(written[parts.value : parts.end], parts.key, what)[0], ""

    def _line_span(self, offset: int) -> Span:
        line = self._index.line(offset)
        return Span(self._index.offset(line), self._index.offset(line + 1))

    def _hide_and_read(self, span: Span) -> tuple[Node | None, list[_Repair]] | None:
        """Hide one value after the other until `span` can be read; None when that is no cure."""
        work = self._text[span.start : span.end]
        repairs: dict[int, _Repair] = {}
        for _ in range(_REPAIRS):
            try:
                return self._parse(span, work), list(repairs.values())
            except TooMuch:
                return None
            except Unreadable as error:
                hidden = self._hide_next(work, span, error, repairs)
            if hidden is None:
                return None
            work = hidden
        return None

    def _hide_next(
        self,
        work: str,
        span: Span,
        error: Unreadable,
        repairs: dict[int, _Repair],
    ) -> str | None:
        """Hide the value of the line that the error is about, or None when all are hidden."""
        tab = next((at for at in error.offsets if work[at : at + 1] == "\t"), None)
        if tab is not None and _TABS not in repairs:
            repairs[_TABS] = _Repair(span.start + tab, "", "\t", 0)
            return _tabs_as_spaces(work)
        for place in error.offsets:
            line = self._index.line(span.start + min(place, len(work) - 1))
            start = max(self._index.offset(line), span.start) - span.start
            end = min(self._index.offset(line + 1), span.end) - span.start
            before = repairs.get(line)
            parts = parts_of(without_end(work[start:end]))
            if parts is None or (before is not None and before.stage == 1):
                continue
            stage = 0 if before is None and parts.key else 1
            first, last = start + (parts.text if stage else parts.value), start + parts.end
            value = self._text[span.start + first : span.start + last]
            key = "" if stage else parts.key
            repairs[line] = _Repair(span.start + first, key, value, stage)
            return work[:first] + self._stand.hide(value) + work[last:]
        return None

    def _keep_cured(self, chunk: Span, node: Node | None, repairs: list[_Repair]) -> None:
        """Use a cured chunk, but leave a key as text whose list or braces could not be read."""
        for repair in repairs:
            self._problem(repair.start, *_diagnosis(repair.value, repair.key))
        broken = {repair.start for repair in repairs if repair.value[0] in "[{&*!"}
        if isinstance(node, Map) and not any(e.value.start in broken for e in node.entries):
            self._found.entries.extend(node.entries)
        else:
            self._found.unread.extend(pieces(self._text, chunk))

    def _items(self, chunk: Span) -> list[Span]:
        """The items of a list that is all there is below the key of `chunk`."""
        lines = split_lines(self._text[chunk.start : chunk.end])
        if len(lines) < 2 or not KEY.fullmatch(lines[0].strip()):
            return []
        column = key_column(lines[1:])
        starts: list[int] = []
        offset = chunk.start + len(lines[0])
        for line in lines[1:]:
            indent = len(line) - len(line.lstrip(" "))
            if indent == column and ITEM.match(line):
                starts.append(offset)
            elif not starts and line.strip() and not line.lstrip(" ").startswith("#"):
                return []
            offset += len(line)
        return [Span(a, b) for a, b in zip(starts, [*starts[1:], chunk.end], strict=False)]

    def _read_items(self, chunk: Span, items: list[Span]) -> None:
        nodes: list[Node] = []
        for span in items:
            nodes.extend(self._read_item(span))
        head = self._text[chunk.start : items[0].start]
        indent = len(head) - len(head.lstrip(" "))
        name = KEY.match(head, indent)
        text = name.group().removesuffix(":").rstrip().strip("\"'") if name else ""
        start = chunk.start + indent
        key = Scalar(text, start, start + len(text))
        self._found.entries.append(Entry(key, Seq(tuple(nodes), items[0].start, chunk.end)))

    def _read_item(self, span: Span) -> Iterator[Node]:
        """The item as it was meant, cured, or as one text."""
        cured = self._hide_and_read(span)
        if cured is not None and isinstance(cured[0], Seq):
            for repair in cured[1]:
                self._problem(repair.start, *_diagnosis(repair.value, repair.key))
            yield from cured[0].items
            return
        written = self._text[span.start : span.end]
        text = ITEM.sub("", written, count=1).strip()
        start = span.start + written.index(text)
        self._problem(start, "this list item could not be read", "read as plain text")
        yield Scalar(text, start, start + len(text))


def _tabs_as_spaces(text: str) -> str:
    """Every tab at the start of a line as one space; YAML takes none there."""
    return "".join(
        line[: -len(bare)].replace("\t", " ") + bare if (bare := line.lstrip(" \t")) else line
        for line in split_lines(text)
    )


def _diagnosis(value: str, key: str, otherwise: str = "") -> tuple[str, str]:
    """What is wrong with a line that could not be read, and what to do about it."""
    name = f"{key}: " if key else ""
    todo = f"read as plain text; write {name}{quoted(value[:100])}"
    first = value[0]
    if value == "\t":
        return "a tab at the start of the line", "read as a space; use spaces there"
    if first in "&*":
        return "anchors are not used in case notes", todo
    if first == "!":
        return "tags are not used in case notes", todo
    if first in "\"'":
        if value.count(first) == 1:
            return "a quotation mark is not closed", todo
        return "a text with quotation marks in it needs quotes around all of it", todo
    if first in "[{" and key_name(key) != "":
        return f"the list or group that starts with '{first}' could not be read", (
            "kept as text; close it, and put quotes around texts with , : or ' in them"
        )
    if first in "@`%>|,]}#-?:[{":
        return f"a text that starts with '{first}' needs quotes", todo
    if ": " in value or value.endswith(":"):
        return "a text with ': ' in it needs quotes", todo
    return otherwise or "this line could not be read", todo
