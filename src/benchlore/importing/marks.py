"""The `imported` key of a note: where it came from, and how a second import knows it again.

    imported: orders.csv line 12, key 0123456789abcdef0123-01234567

The first number tells the row apart, the second says what it held. They stand in the note itself:
nothing else has to be kept, and a note stays known when it is edited, renamed or moved.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from benchlore.importing.incoming import identity
from benchlore.index.files import NoteReader, list_notes, reason
from benchlore.notes.decode import NotText, decode

KEY_DIGITS = 20
CONTENT_DIGITS = 8
_NAME = 60
"""Characters of a source's name that are written into a note."""

_MARK = re.compile(
    rf"^imported[ \t]*:.*\bkey ([0-9a-f]{{{KEY_DIGITS}}})-([0-9a-f]{{{CONTENT_DIGITS}}})\b", re.M
)
_OPENING = re.compile(r"---[ \t]*(?:\r\n|\r|\n)")
_CLOSING = re.compile(r"^(?:---|\.\.\.)[ \t]*$", re.M)


@dataclass(frozen=True, slots=True)
class Known:
    """An imported note that is in the shop."""

    path: str
    content: str


@dataclass(frozen=True, slots=True)
class Marks:
    """The imported notes of a shop by key, and the notes that could not be looked at."""

    known: dict[str, Known]
    unread: tuple[tuple[str, str], ...]


def key_of(identity_of_row: str, occurrence: int) -> str:
    """The key of the row's `occurrence`-th appearance, 0 the first, in its source."""
    return identity(identity_of_row, str(occurrence))[:KEY_DIGITS]


def mark_text(source: str, place: str, key: str, content: str) -> str:
    """The value of the `imported` key."""
    where = f"{source[-_NAME:]} {place[-_NAME:]}".encode("utf-8", "replace").decode()
    return f"{where}, key {key}-{content[:CONTENT_DIGITS]}"


def mark_in(text: str) -> tuple[str, str] | None:
    """Key and content in the front matter of a note, None where it was not imported."""
    opening = _OPENING.match(text)
    if opening is None:
        return None
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    start = lines.index("\n") + 1
    closing = _CLOSING.search(lines, start)
    found = _MARK.search(lines, start, closing.start() if closing else len(lines))
    return (found[1], found[2]) if found else None


def marks_of(shop_root: Path, report: Callable[[int, int], None]) -> Marks:
    """Look through all notes of the shop for imported ones; `report` gets done and total."""
    listing = list_notes(shop_root)
    reader = NoteReader(shop_root)
    known: dict[str, Known] = {}
    unread = [(trouble.path, trouble.what) for trouble in listing.troubles]
    for number, found in enumerate(listing.files):
        report(number, len(listing.files))
        try:
            data = reader.read(found.path).data
            if b"imported" not in data and data[:2] not in (b"\xff\xfe", b"\xfe\xff"):
                continue
            mark = mark_in(decode(data).text)
        except FileNotFoundError:
            continue
        except OSError as error:
            unread.append((found.path, reason(error)))
            continue
        except NotText:
            continue
        if mark is not None:
            known.setdefault(mark[0], Known(found.path, mark[1]))
    return Marks(known, tuple(unread))
