"""What a note means beyond its words: the conditions it states and the values it measured."""

from __future__ import annotations

from dataclasses import dataclass

from benchlore.language import Reading
from benchlore.language.note_conditions import read_note_conditions
from benchlore.language.quantities import Quantity, keys_of_note, read_quantities
from benchlore.language.vocabulary import Vocabulary
from benchlore.notes import Note

MOST_QUANTITIES = 200
"""Values kept of one note; a pasted log file must not crowd the index."""


@dataclass(frozen=True, slots=True)
class Meaning:
    """Conditions as read, and measured values, each under the keys by which it is looked up."""

    conditions: tuple[Reading, ...]
    quantities: tuple[tuple[str, Quantity], ...]


def meaning_of(note: Note, vocabulary: Vocabulary) -> Meaning:
    """Read `note`, front matter and prose."""
    prose = [block.text for section in note.sections for block in section.blocks]
    conditions = read_note_conditions(
        note.symptom.text if note.symptom else "",
        [said.text for said in note.present],
        [said.text for said in note.absent],
        note.where.text if note.where else "",
        prose,
        vocabulary,
    )
    measured = [text for check in note.checks for text in (check.value, check.found)]
    found = dict.fromkeys(q for text in (*measured, *prose) for q in read_quantities(text))
    quantities = list(found)[:MOST_QUANTITIES]
    return Meaning(conditions, tuple((key, q) for q in quantities for key in keys_of_note(q)))
