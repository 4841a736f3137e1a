"""Front matter cut into lines and keys by their looks alone, for when YAML does not help."""

from __future__ import annotations

import re
from dataclasses import dataclass

from benchlore.notes.lines import split_lines

_PIECE = 30
"""Lines in one piece of text that is kept unread."""

# Each step of these consumes one character and cannot be taken in two ways: they stay linear.
KEY = re.compile(
    r"""(?:"[^"\r\n]*"[ \t]*|'[^'\r\n]*'[ \t]*|[^\s\-#?"'\[\]{}&*!|>%@`,:][^\r\n]*?)"""
    r"""(?::(?=[ \t\r\n])|:\Z)"""
)
_INNER_KEY = re.compile(r"""(?:"[^"]*"|'[^']*'|[^\s:#][^:#]*):[ \t]+(?=\S)""")
GLUED = re.compile(r"([^\W\d]\w*):(?!//)(\S.*)")
_LEAD = re.compile(r"[ ]*(?:-[ \t]+)*")
ITEM = re.compile(r"[ ]*-(?=[ \t\r\n]|\Z)")


@dataclass(frozen=True, slots=True)
class Span:
    """A part of the text by its offsets."""

    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Parts:
    """Offsets into one line: its text after the dashes, and the value after a key, if any."""

    text: int
    value: int
    end: int
    key: str


def parts_of(line: str) -> Parts | None:
    """Take a line apart; None when it says nothing. A comment at its end is not part of it."""
    lead = _LEAD.match(line)
    start = lead.end() if lead else 0
    comment = re.search(r"(?<=[ \t])#", line[start:])
    end = len(line[: start + comment.start()].rstrip() if comment else line.rstrip())
    if end <= start:
        return None
    key = _INNER_KEY.match(line, start, end)
    name = key.group().rstrip().removesuffix(":").rstrip() if key else ""
    return Parts(start, key.end() if key else start, end, name)


def key_column(lines: list[str]) -> int:
    """The indentation of the first line that says something."""
    for line in lines:
        bare = line.lstrip(" ")
        if bare.strip() and not bare.startswith("#"):
            return len(line) - len(bare)
    return 0


def chunks(text: str, span: Span) -> list[Span]:
    """Cut `span` before every line that starts a key in the outermost column."""
    lines = split_lines(text[span.start : span.end])
    column = key_column(lines)
    starts = [span.start]
    offset = span.start
    for line in lines:
        starts_key = not line[:column].strip(" ") and KEY.match(line, column)
        if starts_key and offset > span.start:
            starts.append(offset)
        offset += len(line)
    return [Span(start, end) for start, end in zip(starts, [*starts[1:], span.end], strict=True)]


def pieces(text: str, span: Span) -> list[Span]:
    """Cut `span` at its keys, and long ones every `_PIECE` lines; blank parts are left out."""
    out: list[Span] = []
    for chunk in chunks(text, span):
        start = chunk.start
        lines = split_lines(text[chunk.start : chunk.end])
        for first in range(0, len(lines), _PIECE):
            piece = "".join(lines[first : first + _PIECE])
            if piece.strip():
                out.append(Span(start, start + len(piece)))
            start += len(piece)
    return out


def has_keys(text: str) -> bool:
    """Whether any line starts with `name:`, be it without a space behind it."""
    lines = (line.lstrip(" ") for line in split_lines(text))
    return any(KEY.match(line) or GLUED.match(line) for line in lines)
