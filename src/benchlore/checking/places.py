"""Where in a note's file something stands."""

from __future__ import annotations

import re
from functools import lru_cache

from benchlore.notes import LineIndex, Lines, Note


class Places:
    """Finds offsets in one note's text."""

    def __init__(self, note: Note) -> None:
        self.text = note.text
        self._index = LineIndex(note.text)
        self._body = self._index.offset(note.body_line)

    def line_and_column(self, offset: int) -> tuple[int, int]:
        """Line and column of `offset`, both 1-based."""
        return self._index.place(offset)

    def offset(self, line: int, column: int) -> int:
        """The offset of a line and column."""
        return self._index.offset(line, column)

    def first(self, lines: Lines) -> int:
        """The first character on `lines` that is no space or list mark."""
        start, end = self._range(lines)
        return start + len(self.text[start:end]) - len(self.text[start:end].lstrip(" \t-"))

    def value(self, lines: Lines, key: str, written: str) -> int:
        """Where the value `written` of `key` starts on `lines`; as near as can be told."""
        start, end = self._range(lines)
        found = _key(key).search(self.text, start, end)
        if found is None:
            at = self.text.find(written, start, end)
            return at if at >= 0 else self.first(lines)
        at = self.text.find(written, found.end(), end)
        return at if at >= 0 else found.start("key")

    def key(self, key: str) -> int:
        """Where the top-level `key` of the front matter starts; -1 where there is none."""
        found = _top_key(key).search(self.text, 0, self._body)
        return found.start("key") if found else -1

    def top_value(self, key: str, written: str) -> int:
        """Where the value `written` of a top-level `key` starts; the file's start without one."""
        found = _top_key(key).search(self.text, 0, self._body)
        if found is None:
            return 0
        at = self.text.find(written, found.end(), self._body)
        return at if at >= 0 else found.start("key")

    def _range(self, lines: Lines) -> tuple[int, int]:
        return self._index.offset(lines.first), self._index.offset(lines.last + 1)


def _named(key: str) -> str:
    return rf"[\"']?(?P<key>{key.replace('_', '[ _-]?')})[\"']?[ \t]*:"


@lru_cache(maxsize=64)
def _key(key: str) -> re.Pattern[str]:
    return re.compile(rf"(?<![\w-]){_named(key)}", re.I)


@lru_cache(maxsize=64)
def _top_key(key: str) -> re.Pattern[str]:
    return re.compile(rf"(?:\A|(?<=[\r\n])){_named(key)}", re.I)
