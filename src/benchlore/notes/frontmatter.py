"""Finds the front matter of a note and reads it, as a whole or key by key."""

from __future__ import annotations

import re
from dataclasses import dataclass

from benchlore.notes.chunks import Span, has_keys, pieces
from benchlore.notes.lines import LineIndex
from benchlore.notes.model import Problem
from benchlore.notes.nodes import (
    Entry,
    Map,
    TooMuch,
    Unreadable,
    key_name,
    parse,
    repeated_keys,
)
from benchlore.notes.salvage import salvage

_LINE_START = r"(?:\A|(?<=[\r\n]))"
_CAUTIONS = re.compile(_LINE_START + r"[ \t]*(?:-[ \t]+)*[\"']?cautions?\b", re.IGNORECASE)
_OPENING = re.compile(r"---[ \t]*(?:\r\n|\r|\n|\Z)")
_CLOSING = re.compile(_LINE_START + r"(?:---|\.\.\.)[ \t]*(?:\r\n|\r|\n|\Z)")
_KEPT = "kept as text, it is searched all the same"


@dataclass(frozen=True, slots=True)
class FrontMatter:
    """The front matter of a note.

    Attributes:
        body: offset where the body starts; 0 without front matter.
        inner: what stands between the `---` lines; None without front matter.
        root: the tree when it was read as a whole and is not empty.
        entries: the keys that were read.
        unread: parts that stand as text because they could not be read.
        whole: it was read as a whole; also True where there is none.
        cautions_unread: it holds cautions that could not be read.
    """

    body: int = 0
    inner: Span | None = None
    root: Map | None = None
    entries: tuple[Entry, ...] = ()
    unread: tuple[Span, ...] = ()
    whole: bool = True
    cautions_unread: bool = False
    problems: tuple[Problem, ...] = ()


def read_front_matter(text: str, index: LineIndex) -> FrontMatter:
    """Read the front matter that `text` starts with, if any."""
    opening = _OPENING.match(text)
    if opening is None:
        return FrontMatter()
    start = opening.end()
    closing = _CLOSING.search(text, start)
    if closing is not None:
        return _read(text, Span(start, closing.start()), closing.end(), index)
    what = "the front matter that starts here is not closed"
    todo = "all of it was read as body; put a line with --- after the last key"
    return FrontMatter(
        body=start,
        whole=False,
        cautions_unread=_caution_lines(text) > 0,
        problems=(Problem(1, 1, what, todo),),
    )


def _read(text: str, inner: Span, body: int, index: LineIndex) -> FrontMatter:
    content = text[inner.start : inner.end]
    try:
        root = parse(content, base=inner.start)
    except TooMuch as error:
        if not error.offsets:
            return _refused(text, inner, body, index, error)
        return _key_by_key(text, inner, body, index)
    except Unreadable:
        return _key_by_key(text, inner, body, index)
    if root is None or isinstance(root, Map):
        entries = root.entries if root else ()
        problems = _repeated(root, index) if root else ()
        return FrontMatter(body, inner, root, entries, problems=problems)
    if has_keys(content):
        return _key_by_key(text, inner, body, index)
    what = "no 'name: ' lines between the --- lines"
    return FrontMatter(
        whole=False,
        cautions_unread=_caution_lines(content) > 0,
        problems=(Problem(1, 1, what, "all of it was read as body"),),
    )


def _refused(text: str, inner: Span, body: int, index: LineIndex, error: TooMuch) -> FrontMatter:
    """Front matter beyond all limits stands as text."""
    return FrontMatter(
        body,
        inner,
        unread=tuple(pieces(text, inner)),
        whole=False,
        cautions_unread=_caution_lines(text[inner.start : inner.end]) > 0,
        problems=(Problem(*index.place(inner.start), error.what, _KEPT),),
    )


def _key_by_key(text: str, inner: Span, body: int, index: LineIndex) -> FrontMatter:
    found = salvage(text, inner, index)
    entries = tuple(found.entries)
    problems = (*found.problems, *_repeated(Map(entries, inner.start, inner.end), index))
    return FrontMatter(
        body,
        inner,
        entries=entries,
        unread=tuple(found.unread),
        whole=False,
        cautions_unread=_cautions_lost(text, inner, entries, found.problems, index),
        problems=problems,
    )


def _cautions_lost(
    text: str,
    inner: Span,
    entries: tuple[Entry, ...],
    problems: list[Problem],
    index: LineIndex,
) -> bool:
    """Whether a line names cautions that no key read without a problem holds."""
    sound = 0
    for entry in entries:
        if key_name(entry.key.text) in ("cautions", "caution"):
            lines = index.lines(entry.key.start, entry.value.end)
            sound += not any(lines.first <= problem.line <= lines.last for problem in problems)
    return _caution_lines(text[inner.start : inner.end]) > sound


def _caution_lines(text: str) -> int:
    return len(_CAUTIONS.findall(text))


def _repeated(root: Map, index: LineIndex) -> tuple[Problem, ...]:
    return tuple(
        Problem(
            lines[1],
            1,
            f"key '{name}' twice (lines {', '.join(map(str, lines))})",
            "both are kept; join them",
        )
        for name, lines in repeated_keys(root, index)
    )
