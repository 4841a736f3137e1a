"""The program's own sentences: status, progress, filters. No screen is needed to test them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchlore.index.progress import Progress

if TYPE_CHECKING:  # the store brings numpy along, which the first paint must not wait for
    from benchlore.index.stored import Filters


@dataclass(frozen=True, slots=True)
class Status:
    """What the status line says.

    Attributes:
        opening: the index is being read.
        notes: how many notes it holds; None without one.
        filters: what narrows the search, in words.
        building: how far bringing the index up to date has come, empty while it is not.
        words_only: that only words are searched, and why; else empty.
        need_a_look: how many notes and files need a look; None until they are counted.
        notice: something else that must be said, one line.
    """

    opening: bool = True
    notes: int | None = None
    filters: str = ""
    building: str = ""
    words_only: str = ""
    need_a_look: int | None = None
    notice: str = ""


def status_words(status: Status) -> str:
    """The status line, most pressing first."""
    parts = [
        "getting ready ..." if status.opening else "",
        f"only: {status.filters}" if status.filters else "",
        status.words_only,
        status.notice,
        status.building,
        _need(status.need_a_look),
        "" if status.notes is None else _notes(status.notes),
    ]
    return " | ".join(part for part in parts if part)


def _need(count: int | None) -> str:
    if count == 1:
        return "1 note needs a look: F4 shows it"
    return f"{count} notes need a look: F4 lists them" if count else ""


def found_now_words(found: int, gone: int) -> str:
    """`1 note changed, found now`, and how many are gone."""
    parts = [f"{_notes(found)} changed, found now"] if found else []
    parts += [f"{_notes(gone)} gone, found no more"] if gone else []
    return "; ".join(parts)


def _notes(count: int) -> str:
    return "1 note" if count == 1 else f"{count} notes"


def filter_words(filters: Filters | None) -> str:
    """`system wheels, since 2023`; empty without filters."""
    if filters is None:
        return ""
    named = (
        ("system", filters.system),
        ("make", filters.make),
        ("engine", filters.engine),
        ("since", filters.since),
    )
    return ", ".join(f"{name} {value}" for name, value in named if value)


def progress_words(progress: Progress) -> str:
    """`bringing the index up to date: reading notes: 12 of 40, about 20 s left`."""
    return f"bringing the index up to date: {progress.in_words()}"


def matching_choices(
    choices: Iterable[tuple[str, int]], typed: str, most: int = 50
) -> list[tuple[str, int]]:
    """Those of `choices` (name, count) that hold what is typed, order kept."""
    wanted = typed.casefold().strip()
    return [choice for choice in choices if wanted in choice[0].casefold()][:most]


def passage_words(stop: int, stops: list[int], changed: bool) -> str:
    """What stands before a note's path: `match 1 of 3, line 12`, or that the note has changed."""
    parts = ["changed since the index was built, lines may have moved"] if changed else []
    if stops:
        parts.append(f"match {stop + 1} of {len(stops)}, line {stops[stop]}")
    return "; ".join(parts)


def files_words(count: int) -> str:
    """What stands before a note's path where it lists files: `2 files: a`, the key being `a`."""
    return "" if not count else "1 file: a" if count == 1 else f"{count} files: a"


def found_words(typed: str, count: int) -> str:
    """What stands beside the words looked for in a note."""
    if not typed.strip():
        return ""
    return {0: " no line holds this", 1: " 1 line"}.get(count, f" {count} lines")
