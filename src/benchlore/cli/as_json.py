"""The shapes of `--json`. Documented in the README and stable: keys are only ever added."""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchlore.cli.evidence_json import evidence_to_json
from benchlore.evidence.cautions import cautions_of
from benchlore.evidence.model import Evidence
from benchlore.notes import Cause, Check, Lines, Machine, Note, Outcome, Route
from benchlore.search.results import Answer, Hit, Match, PassageHit

if TYPE_CHECKING:
    from benchlore.language import Reading
    from benchlore.writeup.due import Due

Table = dict[str, Any]


def answer_to_json(answer: Answer, evidence: Evidence, root: Path) -> Table:
    """What `find --json` prints for one question."""
    return {
        "query": answer.question.text,
        "reading": readings_to_json(answer.readings),
        "closest": answer.closest,
        "cases": [_case(hit, root) for hit in answer.cases],
        "articles": [_article(hit, root) for hit in answer.articles],
        "evidence": evidence_to_json(evidence),
        "words_only": answer.words_only,
    }


def readings_to_json(readings: Iterable[Reading]) -> list[Table]:
    """Conditions as read, in the order of their words."""
    return [
        {
            "axis": reading.axis,
            "value": reading.value,
            "polarity": reading.polarity,
            "grade": reading.grade,
            "text": reading.text,
        }
        for reading in readings
    ]


def due_to_json(due: Due) -> Table:
    """A case that is due; `days` is null where no date can be read."""
    return {
        "case": due.note.case,
        "file": due.note.path,
        "symptom": due.note.symptom.text if due.note.symptom else due.note.title,
        "why": due.why,
        "days": due.days,
    }


def note_to_json(note: Note) -> Table:
    """What `show --json` prints: all that a note states, cautions first, and its text."""
    return {
        "file": note.path,
        "kind": note.kind,
        "title": note.title,
        **_facts(note),
        "routes": [_flat(route) for route in note.routes],
        "see": list(note.see),
        "files": [said.text for said in note.files],
        "extra": [said.text for said in note.extra],
        "problems": [asdict(problem) for problem in note.problems],
        "text": note.text,
    }


def _case(hit: Hit, root: Path) -> Table:
    note = hit.note
    return {
        "file": note.path,
        "case": note.case,
        "symptom": note.symptom.text if note.symptom else note.title,
        **_nearness(hit),
        "passages": _passages(hit.passages),
        **_facts(note),
        **_reasons(hit),
        "gone": _gone(hit, root),
    }


def _article(hit: Hit, root: Path) -> Table:
    return {
        "file": hit.note.path,
        "title": hit.note.title,
        **_nearness(hit),
        **_reasons(hit),
        "cautions": list(cautions_of(hit.note).lines()),
        "passages": _passages(hit.passages),
        "gone": _gone(hit, root),
    }


def _nearness(hit: Hit) -> Table:
    return {"score": hit.score, "closeness": hit.closeness, "chance": hit.chance}


def _reasons(hit: Hit) -> Table:
    """Why it was found: conditions of the question with the note's, tokens, values, parts."""
    return {
        "agrees": _matches(hit.agrees),
        "conflicts": _matches(hit.conflicts),
        "tokens": list(hit.tokens),
        "values": [{"asked": value.asked, "stated": value.stated} for value in hit.values],
        "parts": list(hit.parts),
    }


def _matches(matches: Iterable[Match]) -> list[Table]:
    return [
        {"asked": readings_to_json([m.asked])[0], "stated": readings_to_json([m.stated])[0]}
        for m in matches
    ]


def _facts(note: Note) -> Table:
    return {
        "case": note.case,
        "symptom": note.symptom.text if note.symptom else note.title,
        "system": note.system,
        "date": note.date,
        "machine": _flat(note.machine),
        "present": [said.text for said in note.present],
        "absent": [said.text for said in note.absent],
        "codes": [said.text for said in note.codes],
        "cautions": list(cautions_of(note).lines()),
        "checks": [_flat(check) for check in note.checks],
        "causes": [_flat(cause) for cause in note.causes],
        "outcome": _flat(note.outcome) if note.outcome else None,
    }


def _flat(stated: Machine | Check | Cause | Route | Outcome) -> Table:
    """A dataclass of the notes as a table: its texts that say something, and its lines."""
    table: Table = {}
    for name in stated.__dataclass_fields__:
        value = getattr(stated, name)
        if isinstance(value, Lines):
            table["first_line"], table["last_line"] = value.first, value.last
        elif name == "extra":
            table.update((key, text) for key, text in value if key not in table)
        elif value:
            table[name] = list(value) if isinstance(value, tuple) else value
    return table


def _passages(passages: Iterable[PassageHit]) -> list[Table]:
    return [
        {"first_line": p.first_line, "last_line": p.last_line, "text": p.text} for p in passages
    ]


def _gone(hit: Hit, root: Path) -> bool:
    return not os.path.lexists(os.path.join(root, hit.note.path))
