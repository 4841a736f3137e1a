"""The report of an import as a file."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from benchlore.errors import NotWritten, UsageError
from benchlore.importing.incoming import Source
from benchlore.importing.writing import Result


class ReportFile:
    """A report that is made before the import begins, so that it cannot fail for its name later."""

    def __init__(self, path: Path) -> None:
        """Make the file, which must not exist.

        Raises:
            UsageError: there is one of that name.
            NotWritten: it cannot be made.
        """
        self._path = path
        try:
            self._handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
        except FileExistsError:
            raise UsageError(f"{path} exists already", "name another report") from None
        except OSError as error:
            raise NotWritten(f"{path}: {error.strerror}", "name another report") from error

    def write(self, source: Source, result: Result) -> None:
        """Write the report.

        Raises:
            NotWritten: what was imported stays.
        """
        try:
            with open(self._handle, "w", encoding="utf-8", errors="backslashreplace") as file:
                for line in report_lines(source, result):
                    file.write(f"{line}\n")
        except OSError as error:
            raise NotWritten(
                f"the report {self._path} could not be written: {error.strerror}",
                "the notes are in all the same",
            ) from error


def report_lines(source: Source, result: Result) -> Iterator[str]:
    """The sums, every piece that was not taken, and what needs a look."""
    yield sums(source, result)
    for left in result.left_out:
        yield f"not taken: {source.name}, {_one_line(left.place)}: {_one_line(left.why)}"
    for remark in result.remarks:
        yield f"needs a look: {_one_line(remark.place)}: {_one_line(remark.why)}"


def sums(source: Source, result: Result, written: str = "taken") -> str:
    """One line: how many were read, taken, there already and left out."""
    return (
        f"{source.name}: {result.read} of {source.total} {source.kind} read; {result.taken} "
        f"{written}, {result.already} in the notes already, {len(result.left_out)} not taken"
    )


def _one_line(text: str) -> str:
    return " ".join(text.split())
