"""The cautions that stand before findings: the note's own, then the usual ones of its system."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from benchlore.notes import Note

CAUTIONS_FILE = Path(__file__).with_name("cautions.toml")
UNREAD = "the cautions of this note could not be read: open it first"


@dataclass(frozen=True, slots=True)
class Cautions:
    """What to say before the findings of one note.

    Attributes:
        unread: a warning that the note's own cautions could not be read, else empty.
        own: the note's own.
        usual: the usual ones of its system, common practice.
        standing: that maker, law and licensed people come first.
    """

    unread: str
    own: tuple[str, ...]
    usual: tuple[str, ...]
    standing: str

    def lines(self) -> tuple[str, ...]:
        """All of it, in the order in which it is shown."""
        return (*((self.unread,) if self.unread else ()), *self.own, *self.usual, self.standing)


def cautions_of(note: Note) -> Cautions:
    """Return what must be said before the findings of `note` are shown."""
    return Cautions(
        unread=UNREAD if note.cautions_unread else "",
        own=tuple(caution.text for caution in note.cautions),
        usual=usual_cautions([note.system]),
        standing=standing_line(),
    )


def usual_cautions(systems: Iterable[str]) -> tuple[str, ...]:
    """The usual cautions of `systems`, each once, in order; a system that is not known has none."""
    table = _table()
    found: dict[str, None] = {}
    for system in systems:
        for group in table["systems"].get(system.casefold().strip(), ()):
            found.update(dict.fromkeys(table["groups"][group]))
    return tuple(found)


def standing_line() -> str:
    return str(_table()["standing"])


@cache
def _table() -> dict[str, dict[str, list[str]]]:
    return tomllib.loads(CAUTIONS_FILE.read_text("utf-8"))


def systems() -> tuple[str, ...]:
    """The systems that have usual cautions: the names that case notes use."""
    return tuple(_table()["systems"])
