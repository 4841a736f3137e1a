"""Problems of notes together with their files."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class NoteProblem:
    """A problem with its file. `line` and `column` are 1-based; 0 where the whole file is meant."""

    path: str
    line: int
    column: int
    what: str
    todo: str

    @property
    def place(self) -> str:
        """`path:line:column`, or the path of a file that is meant as a whole."""
        return f"{self.path}:{self.line}:{self.column}" if self.line else self.path

    def in_words(self) -> str:
        """`kb/a.md:8:10: what is wrong; what to do`."""
        return f"{self.place}: {self.what}" + (f"; {self.todo}" if self.todo else "")


def file_count(problems: Iterable[NoteProblem]) -> int:
    """How many files the problems are about."""
    return len({problem.path for problem in problems})
