"""Everything that the form shows about what is typed, worked out at once."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from benchlore.checking.note_checks import see
from benchlore.checking.places import Places
from benchlore.language.vocabulary import Vocabulary
from benchlore.search.engine import Engine
from benchlore.writeup.form import SINGLE, Fields, as_note, shown_value, value_at, with_added
from benchlore.writeup.near import Near, near_duplicates
from benchlore.writeup.proposing import Proposal, propose
from benchlore.writeup.quality import Said, quality
from benchlore.writeup.shop_words import ShopWords
from benchlore.writeup.understood import Understood, understood

SAID_OTHERWISE = frozenset({"unit", "proof", "cause", "conditions"})
"""Kinds of problems that the form tells beside the field, or as something that is missing."""


@dataclass(frozen=True, slots=True)
class Look:
    """What is understood of a draft, what it lacks, what its text says, which cases are near."""

    understood: Understood
    missing: tuple[Said, ...]
    proposals: tuple[Proposal, ...]
    near: tuple[Near, ...]
    problems: tuple[str, ...] = ()
    """What `benchlore check` would name, in words; what `missing` says in other words left out."""

    @property
    def offered(self) -> dict[str, str]:
        """What the text proposes for fields that stand once, as it would stand in them."""
        fields: Fields = {}
        for proposal in self.proposals:
            fields = with_added(fields, proposal.field, proposal.value)
        shown = {field.key: _shown(fields, field.key) for field in SINGLE}
        return {key: text for key, text in shown.items() if text}


def _shown(fields: Fields, key: str) -> str:
    field = next(field for field in SINGLE if field.key == key)
    return shown_value(field, value_at(fields, key))


def look_at(
    fields: Fields,
    body: str,
    path: str,
    engine: Engine | None,
    words: ShopWords | None,
    vocabulary: Vocabulary,
    today: datetime.date,
) -> Look:
    """Look at a draft; without an `engine` no near cases are found.

    Raises:
        IndexDamaged: the index cannot be read.
    """
    note = as_note(fields, body, path or "kb/new.md")
    symptom = note.symptom.text if fields.get("symptom") and note.symptom else ""
    return Look(
        understood(note, vocabulary),
        quality(note, today, vocabulary),
        propose("\n".join(filter(None, (symptom, body))), vocabulary, today, words),
        near_duplicates(engine, note) if engine is not None else (),
        tuple(
            seen.what
            for seen in see(note, Places(note), today, vocabulary)
            if seen.kind not in SAID_OTHERWISE
        ),
    )
