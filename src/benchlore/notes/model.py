"""What a note says, as plain frozen data.

Every text is kept as the technician wrote it: nothing here is converted, and an absent key is an
empty string or an empty tuple. `benchlore.notes.scalars` reads dates, numbers and yes/no out of
such texts where a caller needs them.

Lines are 1-based and inclusive, counted as an editor counts them (see `benchlore.notes.lines`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Kind = Literal["case", "article"]


@dataclass(frozen=True, slots=True)
class Lines:
    """A range of source lines, 1-based, both ends included."""

    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Stated:
    """Something a note states, and the lines where it states it."""

    text: str
    lines: Lines


@dataclass(frozen=True, slots=True)
class Problem:
    """Something in a file that could not be read as it was probably meant.

    Attributes:
        line, column: 1-based place in the file; 1, 1 when the whole file is meant.
        what: what is wrong, without the place.
        todo: what benchlore did with it and what the writer can do, may be empty.
    """

    line: int
    column: int
    what: str
    todo: str = ""


Extra = tuple[tuple[str, str], ...]
"""Keys that the format does not define, with their values as written, in order."""


@dataclass(frozen=True, slots=True)
class Machine:
    """The vehicle or machine that the job was about."""

    make: str = ""
    model: str = ""
    year: str = ""
    engine: str = ""
    odometer: str = ""
    """Distance or hours with unit, as written: `142300 km`, `4120 h`."""
    extra: Extra = ()
    lines: Lines | None = None


@dataclass(frozen=True, slots=True)
class Check:
    """One thing that was looked at or measured."""

    check: str
    lines: Lines
    found: str = ""
    value: str = ""
    """Measured quantity with unit, as written: `0.14 mm`."""
    limit: str = ""
    """`<= 0.05 mm`, `>= 1.0 bar`, `12.4..12.8 V`, as written."""
    limit_from: str = ""
    minutes: str = ""
    ok: str = ""
    rules_out: tuple[str, ...] = ()
    points_to: tuple[str, ...] = ()
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Cause:
    """What it turned out to be, one of those that acted together."""

    part: str
    lines: Lines
    fault: str = ""
    certainty: str = ""
    """proved, likely, suspected or unknown; other words are kept as written."""
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Route:
    """A repair route that was weighed; costs in the shop's currency, as written."""

    route: str
    lines: Lines
    parts_cost: str = ""
    outside_cost: str = ""
    labour_hours: str = ""
    chosen: str = ""
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Outcome:
    """How the job ended, and whether the machine came back."""

    result: str
    lines: Lines
    date: str = ""
    after: str = ""
    comeback: str = ""
    extra: Extra = ()


@dataclass(frozen=True, slots=True)
class Block:
    """A paragraph, list item, table row or code block of the body, as plain text."""

    text: str
    lines: Lines


@dataclass(frozen=True, slots=True)
class Section:
    """A heading of the body and the blocks below it, up to the next heading.

    The blocks before the first heading belong to a section with an empty heading at level 0.
    """

    heading: str
    level: int
    lines: Lines
    blocks: tuple[Block, ...] = ()


@dataclass(frozen=True, slots=True)
class Note:
    """A case note or a symptom article, read.

    Attributes:
        path: place below the shop folder, `/` between its parts, as the system lists it
            (undecodable bytes as surrogate escapes).
        digest: SHA-256 of the file's bytes, hexadecimal.
        text: the whole file, decoded, line ends as they are.
        body_line: the line on which the body starts.
        front_matter_read: False when the front matter stands as text because it could not be read
            as a whole; keys that could be read by themselves are filled in all the same.
        cautions_unread: the note has cautions that could not be read: they must be named as such
            wherever its findings are shown.
    """

    path: str
    kind: Kind
    digest: str
    text: str
    encoding: str = "utf-8"
    case: str = ""
    """Job-card number; the file name without its ending where the note gives none."""
    title: str = ""
    """An article's title, or the first heading or line of a note without a symptom."""
    symptom: Stated | None = None
    date: str = ""
    by: str = ""
    system: str = ""
    where: Stated | None = None
    machine: Machine = field(default_factory=Machine)
    present: tuple[Stated, ...] = ()
    absent: tuple[Stated, ...] = ()
    codes: tuple[Stated, ...] = ()
    checks: tuple[Check, ...] = ()
    causes: tuple[Cause, ...] = ()
    routes: tuple[Route, ...] = ()
    outcome: Outcome | None = None
    cautions: tuple[Stated, ...] = ()
    covers: tuple[Stated, ...] = ()
    see: tuple[str, ...] = ()
    files: tuple[Stated, ...] = ()
    """Photos, sound and other files that belong to the note, each as written: a place below the
    note's own folder."""
    extra: tuple[Stated, ...] = ()
    """Top-level keys that the format does not define, each as `key: value` in one text."""
    sections: tuple[Section, ...] = ()
    body_line: int = 1
    front_matter_read: bool = True
    cautions_unread: bool = False
    problems: tuple[Problem, ...] = ()
