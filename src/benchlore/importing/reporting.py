"""The report of an import as a file."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from benchlore.errors import NotWritten
from benchlore.importing.incoming import Source
from benchlore.importing.writing import Result

_MOST_NUMBERS = 999


def write_report(path: Path, source: Source, result: Result) -> Path:
    """Write the report to a new file; where the name is taken a number goes behind it.

    Returns:
        The file's path.

    Raises:
        NotWritten: it could not be written; what was imported stays.
    """
    try:
        for number in range(1, _MOST_NUMBERS + 1):
            place = path.with_stem(f"{path.stem}-{number}") if number > 1 else path
            try:
                with place.open("x", encoding="utf-8", errors="backslashreplace") as file:
                    file.writelines(f"{line}\n" for line in report_lines(source, result))
                return place
            except FileExistsError:
                continue
        reason = f"{_MOST_NUMBERS} files of that name"
    except OSError as error:
        reason = error.strerror or "unknown reason"
    raise NotWritten(
        f"the report {path} was not written: {reason}", "the notes that were taken are in"
    )


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
