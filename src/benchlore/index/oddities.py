"""What a note's reader cannot know to be odd: codes in characters that only look like a code's."""

from __future__ import annotations

from dataclasses import replace

from benchlore.language.lookalikes import look_alikes
from benchlore.notes import Note, Problem, split_lines

MOST = 20
"""Problems of this sort that are named in one note."""


def with_oddities(note: Note) -> Note:
    """`note`, its problems extended by the codes that are written with look-alikes."""
    if note.text.isascii():
        return note
    found = [
        Problem(
            number,
            line.index(written) + 1,
            f"'{written}' only looks like {meant}: {_strange(written)} in it",
            f"found as {meant}; type it again",
        )
        for number, line in enumerate(split_lines(note.text), start=1)
        for written, meant in look_alikes(line)
    ]
    return replace(note, problems=(*note.problems, *found[:MOST])) if found else note


def _strange(written: str) -> str:
    return ", ".join(dict.fromkeys(f"U+{ord(char):04X}" for char in written if not char.isascii()))
