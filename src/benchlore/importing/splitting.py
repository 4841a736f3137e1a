"""One long text file of notes, cut at its rules or before a line that begins in a given way."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from benchlore.errors import UsageError
from benchlore.importing.incoming import Incoming, LeftOut, Source
from benchlore.importing.opening import TextSource
from benchlore.importing.texts import text_note, too_long
from benchlore.notes.decode import READ_CAP

_RULE = re.compile(r"[ \t]*(?:([-*=_~#+])[ \t]*)(?:\1[ \t]*){2,}\Z")
"""The line that people draw between two notes: three or more of one sign, blanks between them or
not, and nothing else."""


@dataclass(frozen=True, slots=True)
class Cut:
    """Where one note ends and the next begins.

    Attributes:
        sign: a rule of this sign parts two notes and belongs to neither; empty: none does.
        prefix: a line that begins so is the first of a note; empty: none is.
        free: rules count only where no text stands right above them, as below a heading.
    """

    sign: str = ""
    prefix: str = ""
    free: bool = True

    def in_words(self) -> str:
        if self.prefix:
            return f"a note begins at each line with '{self.prefix}'"
        return f"cut at each line of {self.sign * 3}" if self.sign else "one note: no rule in it"


def named_cut(pattern: str) -> Cut:
    """The cut that the user names: a rule such as `---`, else the beginning of a line, as typed.

    A named rule also counts right below a line of text.
    """
    rule = _RULE.match(pattern)
    return Cut(sign=rule[1], free=False) if rule else Cut(prefix=pattern)


def told_cut(source: TextSource, name: str) -> Cut:
    """The cut that the file itself shows: the one sign of which it has rules that stand free.

    A rule right below a line of text underlines a heading; there it is not taken for a border.

    Raises:
        UsageError: rules of several signs: nobody can tell which stand between notes.
    """
    counts: dict[str, int] = {}
    above = ""
    for line in source.lines():
        rule = _RULE.match(line.strip("\r\n"))
        if rule and not above:
            counts[rule[1]] = counts.get(rule[1], 0) + 1
        above = "" if rule else line.strip()
    if len(counts) > 1:
        seen = ", ".join(f"{sign * 3} ({count} times)" for sign, count in counts.items())
        raise UsageError(
            f"{name} has rules of several kinds: {seen}", "say which one parts notes: --split '---'"
        )
    return Cut(sign=next(iter(counts), ""))


def text_source(source: TextSource, name: str, cut: Cut) -> Source:
    """The notes of the file. It is read once to the end, to count them."""
    count = sum(1 for _ in _parts(source, cut))
    told = [cut.in_words()]
    if source.guessed():
        told.append("encoding guessed: cp1252; another one is named with --encoding")
    return Source(name, "notes", count, partial(_notes, source, cut), tuple(told))


def _notes(source: TextSource, cut: Cut) -> Iterator[Incoming | LeftOut]:
    for line, text in _parts(source, cut):
        place = f"line {line}"
        if text is None:
            yield LeftOut(place, too_long())
        else:
            yield text_note(place, text, ())


def _parts(source: TextSource, cut: Cut) -> Iterator[tuple[int, str | None]]:
    """Each note with its first line; None for the text of one that is too long for a note."""
    first, size = 1, 0
    held: list[str] = []
    above = ""
    for number, line in enumerate(source.lines(), start=1):
        border = _is_border(line, above, cut)
        above = line.strip()
        if border:
            yield from _part(first, held, size)
            held, size = [], 0
            first = number if cut.prefix else number + 1
            if not cut.prefix:
                above = ""
                continue
        if not held and not line.strip():
            first = number + 1
            continue
        size += len(line.encode("utf-8", "replace"))
        if size <= READ_CAP:
            held.append(line)
    yield from _part(first, held, size)


def _is_border(line: str, above: str, cut: Cut) -> bool:
    if cut.prefix:
        return line.startswith(cut.prefix)
    rule = _RULE.match(line.strip("\r\n")) if cut.sign else None
    return bool(rule and rule[1] == cut.sign and not (cut.free and above))


def _part(first: int, held: list[str], size: int) -> Iterator[tuple[int, str | None]]:
    if held:
        yield first, "".join(held).rstrip() if size <= READ_CAP else None
