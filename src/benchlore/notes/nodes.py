"""Front matter as a tree of texts: the one place where PyYAML is used.

Only PyYAML's events are read, never its values: no text is turned into a number, a date or a truth
value, no anchor, alias or tag is followed, and limits hold while the events come, before anything
is built from them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import yaml

from benchlore.notes.lines import LineIndex

MAX_LENGTH = 64 * 1024
MAX_DEPTH = 12
MAX_EVENTS = 5_000

LOADER: type[yaml.CBaseLoader] | type[yaml.BaseLoader] = (
    yaml.CBaseLoader if yaml.__with_libyaml__ else yaml.BaseLoader
)

# Nesting without anything in between: libyaml looks 1,024 characters ahead there before it reports
# the first level, the Python parser needs 190 ms for that (libyaml 1.3 ms).
_DEEP = re.compile(rf"(?:[\[{{][ \t\r\n]*){{{MAX_DEPTH + 1}}}")
_SURROGATE = re.compile("[\ud800-\udfff]")
_GAP = re.compile(r"[\s\-]+")
# Characters that YAML refuses, or counts as line ends though no editor does.
_FOREIGN = re.compile(
    "[^\t\n\r -~\u00a0-\u2027\u202a-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]"
)


@dataclass(frozen=True, slots=True)
class Scalar:
    """A text of the front matter.

    Attributes:
        text: quotes and block marks decoded, otherwise exactly as typed.
        start, end: offsets of what stands in the file, quotes included.
        style: `''` plain, `'`, `"`, `|` or `>`.
    """

    text: str
    start: int
    end: int
    style: str = ""


@dataclass(frozen=True, slots=True)
class Seq:
    """A list; `flow` when it is written in brackets."""

    items: tuple[Node, ...]
    start: int
    end: int
    flow: bool = False


@dataclass(frozen=True, slots=True)
class Entry:
    """One `key: value`."""

    key: Scalar
    value: Node


@dataclass(frozen=True, slots=True)
class Map:
    """Named values in order, a name may stand twice; `flow` when it is written in braces."""

    entries: tuple[Entry, ...]
    start: int
    end: int
    flow: bool = False


Node = Scalar | Seq | Map


class Unreadable(Exception):
    """The text is no front matter that benchlore reads.

    Attributes:
        offsets: places in the text, the likeliest first, where it may go wrong; empty for limits.
    """

    def __init__(self, what: str, offsets: tuple[int, ...] = ()) -> None:
        """Say `what` is wrong, and at which offsets it may be."""
        super().__init__(what)
        self.what = what
        self.offsets = offsets


class TooMuch(Unreadable):
    """The text is larger or nested deeper than any case note."""


class Stand:
    """Swaps single characters of a text for private ones of the same length, and back.

    What YAML must not see as a line end, a control character or punctuation passes through it as
    a letter, at an unchanged offset.
    """

    def __init__(self, text: str) -> None:
        """Use no stand-in that `text` holds itself."""
        self._text = text
        self._free = (chr(code) for code in range(0xF0000, 0xFFFFE) if chr(code) not in text)
        self._away: dict[str, str] = {}
        self._back: dict[int, str] = {}

    def hide(self, text: str) -> str:
        """Return `text` with every character replaced by its stand-in."""
        return "".join(map(self._stand_in, text))

    def restore(self, text: str) -> str:
        """Put back what was hidden."""
        return text.translate(self._back) if self._back else text

    def _stand_in(self, char: str) -> str:
        if char not in self._away:
            stand_in = next(self._free)
            self._away[char] = stand_in
            self._back[ord(stand_in)] = char
        return self._away[char]


def parse(text: str, stand: Stand | None = None, base: int = 0) -> Node | None:
    """Read one YAML document into a tree; None when it holds nothing but comments.

    Args:
        text: the document.
        stand: holds what was hidden in `text` before, put back in all texts of the tree.
        base: added to all offsets.

    Raises:
        TooMuch: a limit was passed.
        Unreadable: anything else is wrong, or it holds anchors, aliases or tags.
    """
    if len(text) > MAX_LENGTH:
        raise TooMuch("the front matter is larger than 64 kB")
    deep = _DEEP.search(text)
    if deep:
        raise TooMuch("the front matter is nested too deep", (deep.start(),))
    stand = stand or Stand(text)
    clean = _FOREIGN.sub(lambda found: stand.hide(found.group()), text)
    builder = _Builder(text, stand, base)
    try:
        for event in _events(clean):
            builder.take(event)
    except yaml.MarkedYAMLError as error:
        raise Unreadable("this could not be read", _places(error, len(text))) from None
    except (yaml.YAMLError, ValueError, IndexError, RecursionError):
        raise Unreadable("this could not be read", (0,)) from None
    return builder.root


def _events(text: str) -> Iterator[yaml.Event]:
    """PyYAML's events, held to the limits and to one document without references."""
    depth = documents = 0
    for count, event in enumerate(yaml.parse(text, Loader=LOADER)):
        if count > MAX_EVENTS:
            raise TooMuch("the front matter holds too many entries")
        if isinstance(event, yaml.CollectionStartEvent):
            depth += 1
            if depth > MAX_DEPTH:
                raise TooMuch("the front matter is nested too deep", (_start(event),))
        elif isinstance(event, yaml.CollectionEndEvent):
            depth -= 1
        elif isinstance(event, yaml.DocumentStartEvent):
            documents += 1
            if documents > 1:
                raise Unreadable("a second document starts here", (_start(event),))
        if isinstance(event, yaml.NodeEvent):
            _refuse_references(event)
        yield event


def _start(event: yaml.Event) -> int:
    return event.start_mark.index if event.start_mark else 0


def _end(event: yaml.Event) -> int:
    return event.end_mark.index if event.end_mark else 0


def _refuse_references(event: yaml.NodeEvent) -> None:
    where = (_start(event),)
    if event.anchor is not None:
        raise Unreadable("anchors are not used in case notes", where)
    if getattr(event, "tag", None) is not None:
        raise Unreadable("tags are not used in case notes", where)


def _places(error: yaml.MarkedYAMLError, length: int) -> tuple[int, ...]:
    """Where the culprit may stand, likeliest first.

    For a text in quotes, a list in brackets or a key without its colon that is where it began;
    for a block of keys the beginning says nothing.
    """
    marks = [error.context_mark, error.problem_mark]
    if (error.context or "").startswith("while parsing a block"):
        marks.reverse()
    return tuple(min(mark.index, length) for mark in marks if mark is not None)


class _Builder:
    """Makes the tree out of events, without recursion."""

    def __init__(self, text: str, stand: Stand, base: int) -> None:
        self.root: Node | None = None
        self._text = text
        self._stand = stand
        self._base = base
        self._open: list[tuple[yaml.CollectionStartEvent, list[Node]]] = []

    def take(self, event: yaml.Event) -> None:
        """Use the next event."""
        if isinstance(event, yaml.CollectionStartEvent):
            self._open.append((event, []))
        elif isinstance(event, yaml.CollectionEndEvent):
            start, children = self._open.pop()
            self._add(self._collection(start, event, children))
        elif isinstance(event, yaml.ScalarEvent):
            self._add(self._scalar(event))

    def _add(self, node: Node) -> None:
        if self._open:
            self._open[-1][1].append(node)
        elif not (isinstance(node, Scalar) and node.start == node.end):
            self.root = node

    def _scalar(self, event: yaml.ScalarEvent) -> Scalar:
        start, end = _start(event), _end(event)
        written = self._text[start:end]
        if event.style in ("|", ">"):
            end = start + len(written.rstrip(" \t\r\n"))
        text, style = self._stand.restore(event.value), event.style or ""
        if style == '"':  # the Python parser takes half characters from escapes
            text = _SURROGATE.sub("\N{REPLACEMENT CHARACTER}", text)
        return Scalar(text, start + self._base, end + self._base, style)

    def _collection(
        self, first: yaml.CollectionStartEvent, last: yaml.Event, children: list[Node]
    ) -> Node:
        start = _start(first) + self._base
        flow = bool(first.flow_style)
        if flow:
            end = _end(last) + self._base
        else:
            end = max((child.end for child in children), default=start)
        if isinstance(first, yaml.SequenceStartEvent):
            return Seq(tuple(children), start, end, flow)
        pairs = zip(children[::2], children[1::2], strict=True)
        return Map(tuple(Entry(self._key(key), value) for key, value in pairs), start, end, flow)

    def _key(self, node: Node) -> Scalar:
        """A key is a text; a list or map in its place stands as it is written."""
        if isinstance(node, Scalar):
            return node
        written = self._text[node.start - self._base : node.end - self._base]
        return Scalar(self._stand.restore(written), node.start, node.end, "?")


def as_text(node: Node) -> str:
    """Everything a node says, in one text: `a, b` for a list, `key: value` for named values."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Seq):
        return ", ".join(filter(None, map(as_text, node.items)))
    return ", ".join(f"{entry.key.text}: {as_text(entry.value)}".strip() for entry in node.entries)


@lru_cache(maxsize=1024)
def key_name(text: str) -> str:
    """A key as the format spells it: `Rules out` and `rules-out` are `rules_out`."""
    return _GAP.sub("_", text.strip().casefold())


def repeated_keys(node: Node, index: LineIndex) -> Iterator[tuple[str, list[int]]]:
    """Names that stand twice or more in one place, each with its lines."""
    if isinstance(node, Scalar):
        return
    if isinstance(node, Seq):
        for item in node.items:
            yield from repeated_keys(item, index)
        return
    starts: dict[str, list[int]] = {}
    for entry in node.entries:
        starts.setdefault(key_name(entry.key.text), []).append(entry.key.start)
    for name, places in starts.items():
        if len(places) > 1:
            yield name, [index.line(place) for place in places]
    for entry in node.entries:
        yield from repeated_keys(entry.value, index)
