"""What an import hands on: notes to be, and what it could not take."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from benchlore.errors import BenchloreError


class SourceError(BenchloreError):
    """The file or folder to import cannot be read at all, or not on from some place."""


@dataclass(frozen=True, slots=True)
class Incoming:
    """A note that is not written yet.

    Attributes:
        place: where it stands in the source: `line 12`, or a file's path in the folder.
        identity: what tells it apart from the others, as `identity` makes it; the same at every
            import of the same row, whatever the mapping.
        content: the same over all that it says, to notice that the source has changed since.
        unique: the source states that no two have one `identity`; else equal ones are counted.
        stem: texts that the file's name is made of.
        render: the file's bytes, given the value of its `imported` key.
        year: the folder it goes into, `2025`; empty where no date tells.
        remarks: what somebody should look at, though the note is taken.
    """

    place: str
    identity: str
    content: str
    stem: tuple[str, ...]
    render: Callable[[str], bytes]
    unique: bool = False
    year: str = ""
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A row, part or file that is not taken: where it stands, and why."""

    place: str
    why: str


Incomings = Iterable[Incoming | LeftOut]


@dataclass(frozen=True, slots=True)
class Source:
    """Something to import.

    Attributes:
        name: the file's or folder's own name, without where it lies.
        kind: what its pieces are called: `rows`, `notes` or `files`.
        total: how many pieces there are, for the progress.
        notes: reads them, from the beginning at each call.
        told: how it was read, a line each.
    """

    name: str
    kind: str
    total: int
    notes: Callable[[], Incomings]
    told: tuple[str, ...] = ()


def identity(*texts: str) -> str:
    """A digest of `texts`, their borders included; 40 hexadecimal digits."""
    digest = hashlib.sha256()
    for text in texts:
        data = text.encode("utf-8", "surrogatepass")
        digest.update(b"%d:" % len(data) + data)
    return digest.hexdigest()[:40]
