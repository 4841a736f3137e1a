"""Trouble codes that are nearly codes of SAE J2012 / ISO 15031-6."""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.checking.model import Mend, Seen
from benchlore.checking.places import Places
from benchlore.language.trouble_codes import code_trouble
from benchlore.notes import Note


def codes(note: Note, places: Places) -> Iterator[Seen]:
    """Look at what stands under `codes`."""
    for said in note.codes:
        trouble = code_trouble(said.text)
        if trouble is None:
            continue
        at = places.value(said.lines, "codes", said.text)
        if not trouble.meant:
            yield Seen("code", at, trouble.what, trouble.todo)
            continue
        old = said.text[trouble.start : trouble.end]
        at += trouble.start
        stands = places.text[at : at + len(old)] == old
        mend = Mend(at, old, trouble.meant) if stands else None
        yield Seen("code", at, trouble.what, f"write {trouble.meant}", mend)
