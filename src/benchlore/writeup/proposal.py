"""What may be taken over from a pasted text, as data."""

from __future__ import annotations

from dataclasses import dataclass

from benchlore.notes.quoting import Value


@dataclass(frozen=True, slots=True)
class Proposal:
    """One thing that a technician may accept with a key.

    Attributes:
        field: the front matter key: `present`, `checks`, `machine.year`; one item where it lists.
        value: as it would be written; numbers and units as typed.
        said: the words it was taken from: they stand so in the text.
        line: on which they begin, 1-based.
    """

    field: str
    value: Value
    said: str
    line: int


@dataclass(frozen=True, slots=True)
class Found:
    """A proposal in the making: `text[start:end]` says it."""

    field: str
    value: Value
    start: int
    end: int
