"""Personal data in a note: it has no place in what a workshop shares and keeps for years."""

from __future__ import annotations

from collections.abc import Iterator

from benchlore.checking.model import Mend, Seen
from benchlore.language.personal import SURE, TAKEN_OUT, Kind, find_personal
from benchlore.notes import Note

_WHAT: dict[Kind, str] = {
    "VIN": "a vehicle identification number (its check digit is right)",
    "VIN-like": "perhaps a vehicle identification number: 17 characters, though the check digit of"
    " 49 CFR 565, which European ones need not have, does not fit",
    "phone": "a telephone number",
    "phone-like": "perhaps a telephone number",
    "e-mail": "an e-mail address",
    "plate": "perhaps a registration plate",
    "name": "perhaps a person's name",
}


def personal(note: Note) -> Iterator[Seen]:
    """Look for personal data in the whole text of `note`; what it is, is not repeated."""
    engine = "".join(note.machine.engine.split()).upper()
    for found in find_personal(note.text):
        written = note.text[found.start : found.end]
        if found.kind == "plate" and engine and written.startswith(engine):
            continue  # "HD22 ECU": the engine's code and three letters behind it
        sure = found.kind in SURE
        todo = "take it out" if sure else "take it out if it is one"
        mend = Mend(found.start, written, TAKEN_OUT) if sure else None
        yield Seen("personal", found.start, _WHAT[found.kind], todo, mend)
