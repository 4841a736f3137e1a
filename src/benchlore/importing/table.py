"""A CSV export (RFC 4180), row by row; a row that is not sound is named, never bent into shape."""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

from benchlore.errors import UsageError
from benchlore.importing.incoming import LeftOut, SourceError
from benchlore.importing.opening import TextSource

if TYPE_CHECKING:
    from _csv import Reader as CsvReader

DELIMITERS = {"comma": ",", "semicolon": ";", "tab": "\t", "bar": "|"}
_SAMPLE = 200
"""Lines from which the delimiter is told."""

_SAID = "sep="
"""A first line by which some programs state the delimiter: `sep=;`."""


@dataclass(frozen=True, slots=True)
class Row:
    """One record. `line` is where it starts in the file, 1 the first; `number` counts the records
    below the header, those that are left out too; `cells` are as many as there are columns."""

    line: int
    number: int
    cells: tuple[str, ...]


class Table:
    """A table in a text file.

    Attributes:
        name: the file's name.
        columns: the header's words without surrounding blanks; a column without a name is
            `column 3`, a second `Notes` is `Notes 2`.
        delimiter: the character between cells.
    """

    def __init__(
        self, path: Path, delimiter: str = "", encoding: str = "", quotes: bool = True
    ) -> None:
        """Read the header.

        Args:
            path: the file.
            delimiter: one character, or a name in `DELIMITERS`; told from the file where empty.
            encoding: see `TextSource`.
            quotes: False where `"` is a sign like any other, such as that of an inch.

        Raises:
            SourceError: the file cannot be read, is no text, or is empty.
            UsageError: the delimiter cannot be told, or is none.
        """
        self.name = path.name
        self.source = TextSource(path, encoding)
        self._quotes = quotes
        self._said = ""
        first = next(self.source.lines(), "")
        if first.startswith(_SAID) and len(first.rstrip("\r\n")) == len(_SAID) + 1:
            self._said = first[len(_SAID)]
        self.delimiter = self._chosen(delimiter)
        header = next(self._records(), None)
        if header is None:
            raise SourceError(f"{self.name} is empty", "its first row must name the columns")
        if isinstance(header, LeftOut):
            raise SourceError(f"{self.name}, {header.place}: {header.why}", "mend the header")
        self.columns = named_columns(header.cells)

    def rows(self) -> Iterator[Row | LeftOut]:
        """The records below the header; what is not sound comes as `LeftOut` in its place.

        Lines with nothing on them are no records.

        Raises:
            SourceError: the file cannot be read on.
        """
        number = 0
        for record in islice(self._records(), 1, None):
            number += 1
            if isinstance(record, LeftOut):
                yield record
                continue
            why = self._unsound(record.cells)
            place = f"line {record.line}"
            yield LeftOut(place, why) if why else Row(record.line, number, record.cells)

    def _unsound(self, cells: tuple[str, ...]) -> str:
        if len(cells) != len(self.columns):
            return f"{len(cells)} cells where the header names {len(self.columns)}"
        if any("\0" in cell for cell in cells):
            return "holds a NUL byte: the file is damaged here"
        return "" if any(cell.strip() for cell in cells) else "all its cells are empty"

    def _records(self) -> Iterator[Row | LeftOut]:
        """All records, the header the first."""
        lines = self.source.lines()
        skipped = 1 if self._said else 0
        reader = self._reader(islice(lines, skipped, None), self.delimiter, strict=True)
        while True:
            before = reader.line_num
            line = before + skipped + 1
            try:
                cells = next(reader)
            except StopIteration:
                return
            except csv.Error as error:
                why = _why(str(error), line, reader.line_num + skipped)
                yield LeftOut(f"line {line}", why)
                continue
            if cells:
                yield Row(line, 0, tuple(cells))

    def _reader(self, lines: Iterable[str], delimiter: str, strict: bool) -> CsvReader:
        if self._quotes:
            return csv.reader(lines, delimiter=delimiter, strict=strict)
        return csv.reader(lines, delimiter=delimiter, quoting=csv.QUOTE_NONE, strict=strict)

    def _chosen(self, named: str) -> str:
        if named:
            delimiter = DELIMITERS.get(named, named)
            if len(delimiter) != 1 or delimiter in '"\r\n \0':
                raise UsageError(
                    f"'{named}' is no delimiter", f"one of {', '.join(DELIMITERS)}, or one sign"
                )
            return delimiter
        return self._said or self._told_from(list(islice(self.source.lines(), _SAMPLE)))

    def _told_from(self, sample: list[str]) -> str:
        """The delimiter that cuts most records of `sample` into as many cells as the header."""
        found: list[tuple[float, int, str]] = []
        for delimiter in DELIMITERS.values():
            widths = self._widths(sample, delimiter)
            if widths and widths[0] > 1:
                found.append((Counter(widths)[widths[0]] / len(widths), widths[0], delimiter))
        if not found:
            return ","
        found.sort(reverse=True)
        if len(found) > 1 and found[0][:2] == found[1][:2]:
            raise UsageError(
                f"{self.name}: the delimiter cannot be told", "name it with --delimiter"
            )
        return found[0][2]

    def _widths(self, sample: list[str], delimiter: str) -> list[int]:
        widths: list[int] = []
        try:
            for cells in self._reader(sample, delimiter, strict=False):
                if cells:
                    widths.append(len(cells))
        except csv.Error:
            pass
        return widths


def named_columns(header: tuple[str, ...]) -> tuple[str, ...]:
    """A name for each column, no two alike."""
    names: list[str] = []
    for number, cell in enumerate(header, start=1):
        name = " ".join(cell.split()) or f"column {number}"
        wanted, count = name, 1
        while name in names:
            count += 1
            name = f"{wanted} {count}"
        names.append(name)
    return tuple(names)


def _why(error: str, first: int, last: int) -> str:
    """What the csv module found, in words of the trade."""
    lines = f"; lines {first} to {last} belong to it" if last > first else ""
    if "field larger" in error:
        return f"a cell is longer than 131,072 characters: is a quote never closed?{lines}"
    if "unexpected end" in error:
        return f"a quote that opens here is never closed{lines}"
    if "expected after" in error:
        return f'a quote inside a quoted cell is not doubled ("" stands for one){lines}'
    return f"not a sound row ({error}){lines}"
