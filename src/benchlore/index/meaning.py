"""What a note means beyond its words: the conditions it states and the values it measured."""

from __future__ import annotations

from dataclasses import dataclass

from benchlore.language import Reading
from benchlore.language.note_conditions import note_conditions
from benchlore.language.quantities import Quantity, keys_of_note, read_quantities
from benchlore.language.vocabulary import Vocabulary
from benchlore.notes import Lines, Note

MOST_QUANTITIES = 200
"""Values kept of one note; a pasted log file must not crowd the index."""


@dataclass(frozen=True, slots=True)
class Meaning:
    """Conditions as read, each with the lines it was read from, and measured values, each under the
    keys by which it is looked up."""

    conditions: tuple[tuple[Reading, Lines], ...]
    quantities: tuple[tuple[str, Quantity], ...]


def meaning_of(note: Note, vocabulary: Vocabulary) -> Meaning:
    """Read `note`, front matter and prose."""
    blocks = [block for section in note.sections for block in section.blocks]
    prose = [block.text for block in blocks]
    conditions = note_conditions(
        note.symptom.text if note.symptom else "",
        [said.text for said in note.present],
        [said.text for said in note.absent],
        note.where.text if note.where else "",
        prose,
        vocabulary,
    )
    texts = {
        "present": note.present,
        "absent": note.absent,
        "symptom": [note.symptom],
        "where": [note.where],
        "prose": blocks,
    }
    placed = []
    for reading, (kind, number) in conditions.items():
        text = texts[kind][number]
        assert text is not None  # a condition was read from it
        placed.append((reading, text.lines))
    measured = [text for check in note.checks for text in (check.value, check.found)]
    found = dict.fromkeys(q for text in (*measured, *prose) for q in read_quantities(text))
    quantities = list(found)[:MOST_QUANTITIES]
    return Meaning(tuple(placed), tuple((key, q) for q in quantities for key in keys_of_note(q)))
