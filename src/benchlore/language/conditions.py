"""Any sentence, note field or query to conditions: when a symptom shows and when it does not.

The rules and their numbers (P01..P47) stand with example sentences in
`tests/language/data/trade_sentences.txt`. The way:
tokens (`scanning`), items (`lexing`, `figures`, `measures`), clauses (`clauses`), what governs what
(`scope`, `states`), signed readings (`emitting`), then rules over the whole sentence here. What
cannot be read is left alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from benchlore.language.clauses import clauses, of_the_symptom, question, sentences, telling
from benchlore.language.emitting import emit
from benchlore.language.items import Draft, Item, Value
from benchlore.language.lexing import Lexer
from benchlore.language.neighbours import govern
from benchlore.language.nouns import axis_nouns
from benchlore.language.rewording import reworded
from benchlore.language.scanning import scan
from benchlore.language.scope import Reading as ClauseReading
from benchlore.language.sentence_rules import apply_rules
from benchlore.language.spans import Span
from benchlore.language.vocabulary import Vocabulary, current

HEARSAY = 0.8
"""Weight of "customer states" (rule 7)."""
HEDGED = 0.7
"""Weight of "seems", "maybe" (rule 7)."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One condition that a text states.

    Attributes:
        axis: temp, rpm, load, speed, history, steer, road, gear, weather, consumers, course, place.
        value: a name (`cold`, `pull-away`, `3`, `any`) or a range as said (`2500`, `>=60 mph`,
            `1500..2000`, `<0 C`); a bare road speed is km/h.
        polarity: "present" or "absent": whether the symptom shows there.
        text: the words it was read from, as written.
        grade: "worse", "better" or "".
        start, end: where `text` stands in the text that was read, `end` excluded; 0..len(text).
        weight: 0..1; 1 for a plain statement, less for hearsay, hedges and "could not reproduce".
        span: the range in the axis's base unit (rpm, km/h, C, s, km), None where there is none.
    """

    axis: str
    value: str
    polarity: str
    text: str
    grade: str = ""
    start: int = 0
    end: int = 0
    weight: float = 1.0
    span: Span | None = field(default=None, compare=False)


def read_conditions(text: str, vocabulary: Vocabulary | None = None) -> tuple[Reading, ...]:
    """Read the conditions that `text` states, in the order of their words.

    Any text is accepted; of more than `scanning.MAX_TEXT` characters the rest is not read.
    """
    return _readings(text, vocabulary or current(), prose=False)


def read_prose(text: str, vocabulary: Vocabulary | None = None) -> tuple[Reading, ...]:
    """Read a note's prose: only sentences that tell of the symptom, not of checks and repairs."""
    return _readings(text, vocabulary or current(), prose=True)


def _readings(text: str, vocabulary: Vocabulary, *, prose: bool) -> tuple[Reading, ...]:
    tokens = reworded(text, scan(text), vocabulary)
    found: list[Draft] = []
    for sentence in sentences(Lexer(text, tokens, vocabulary).items()):
        found += _sentence(sentence, prose=prose)
    return _finished(found, text)


def _sentence(sentence: Sequence[Item], *, prose: bool) -> list[Draft]:
    body = question(sentence)
    parts = clauses(body)
    if prose and not of_the_symptom(parts):
        return []
    parts = telling(parts)
    if not any(item.kind == "cond" or item.names for part in parts for item in part.items):
        return []
    readings = govern(parts)
    used_to = any(reading.clause.has("used-to") for reading in readings)
    drafts = [draft for reading in readings for draft in _clause(reading, used_to)]
    drafts = apply_rules(drafts, readings)
    weight = _weight(body)
    for draft in drafts:
        draft.weight *= weight
    return drafts


def _clause(reading: ClauseReading, used_to: bool) -> Iterable[Draft]:
    for governed in reading.governed:
        if used_to and governed.operator == "only":  # P33: "used to be only cold" is history
            governed.operator = ""
        yield from emit(governed)
    yield from axis_nouns(reading)


def _weight(items: Sequence[Item]) -> float:
    """Rule 7: hearsay and hedges read the same, with less weight."""
    weight = 1.0
    if any("hearsay" in item.tags for item in items):
        weight *= HEARSAY
    if any("hedge" in item.tags for item in items):
        weight *= HEDGED
    return weight


def _finished(drafts: Sequence[Draft], text: str) -> tuple[Reading, ...]:
    """Sort, leave out what is said twice, and what follows only by rule from the contrary."""
    said = {(d.value.axis, d.value.value): d.sign for d in drafts if not d.implied}
    found: dict[tuple[Value, str], Reading] = {}
    for draft in sorted(drafts, key=lambda d: (d.item.start, d.implied)):
        key = (draft.value.axis, draft.value.value)
        if draft.implied and said.get(key, draft.sign) != draft.sign:
            continue
        item, value = draft.item, draft.value
        reading = Reading(
            value.axis,
            value.value,
            "present" if draft.sign == "+" else "absent",
            text[item.start : item.end],
            draft.grade,
            item.start,
            item.end,
            round(draft.weight, 3),
            value.span,
        )
        same = (replace(value, span=None), draft.sign)
        known = found.get(same)
        if known is None or (draft.grade and not known.grade):
            found[same] = reading
    return tuple(found.values())
