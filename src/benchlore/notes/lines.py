"""The one line counter.

A line ends at LF, CR LF or CR, as editors and CommonMark count; nothing else ends one. Python's
`str.splitlines` and YAML also count U+2028, U+0085, form feeds and more, so neither is used for
line numbers anywhere in benchlore.
"""

from __future__ import annotations

import re
from bisect import bisect_right

from benchlore.notes.model import Lines

_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")
_LINE_END = re.compile(r"\r\n|\r|\n")


def split_lines(text: str) -> list[str]:
    """Split `text` after every line end and keep the ends; joined again they are `text`."""
    return _LINE.findall(text)


def without_end(line: str) -> str:
    """Return one line of `split_lines` without its line end."""
    return line.rstrip("\r\n")


def first_line_end(text: str) -> str:
    r"""The line end that `text` uses first, `\n` when it has none."""
    found = _LINE_END.search(text)
    return found.group() if found else "\n"


class LineIndex:
    """Turns offsets into a text into lines and columns, and back.

    Lines and columns are 1-based, offsets 0-based; a column counts characters.
    """

    def __init__(self, text: str) -> None:
        """Count the lines of `text` once."""
        self._length = len(text)
        self._starts = [0, *(found.end() for found in _LINE_END.finditer(text))]

    def line(self, offset: int) -> int:
        """The line that holds the character at `offset`."""
        return bisect_right(self._starts, offset)

    def place(self, offset: int) -> tuple[int, int]:
        """Line and column of the character at `offset`."""
        line = self.line(offset)
        return line, offset - self._starts[line - 1] + 1

    def offset(self, line: int, column: int = 1) -> int:
        """The offset of a place; the end of the text for a line after the last one."""
        if line > len(self._starts):
            return self._length
        return min(self._starts[line - 1] + column - 1, self._length)

    def lines(self, start: int, end: int) -> Lines:
        """The lines that the characters from `start` up to but without `end` stand on."""
        return Lines(self.line(start), self.line(max(start, end - 1)))
