"""What a check finds."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from benchlore.notes.problems import NoteProblem

Kind = Literal[
    "reading", "cautions", "unit", "limit", "verdict", "cause", "proof", "outcome", "date", "code",
    "conditions", "personal", "case", "link", "file", "copy", "name", "word",
]  # fmt: skip
"""What a finding is about. Documented in the README; kinds are only ever added."""


@dataclass(frozen=True, slots=True)
class Mend:
    """How a finding can be mended safely: `old`, at `start` of the note's text, becomes `new`."""

    start: int
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class Seen:
    """Something in one note that needs a look.

    Attributes:
        kind: what it is about.
        at: offset in the note's text.
        what, todo: what is wrong, and what to do about it.
        mend: how to mend it, None where a person has to decide.
    """

    kind: Kind
    at: int
    what: str
    todo: str = ""
    mend: Mend | None = None


@dataclass(frozen=True, slots=True)
class Finding(NoteProblem):
    """Something in the shop's notes that needs a look, with its file."""

    kind: Kind = "reading"
    mend: Mend | None = None
