"""Any sentence, note field or query to conditions: when a symptom shows and when it does not.

The rules and their numbers (P01..P47) stand with example sentences in
`tests/language/data/trade_sentences.txt`. The way:
tokens (`scanning`), items (`lexing`, `figures`, `measures`), clauses (`clauses`), what governs what
(`scope`, `states`), signed readings (`emitting`), then rules over the whole sentence here. What
cannot be read is left alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from benchlore.language.clauses import clauses, question, sentences, telling
from benchlore.language.emitting import emit
from benchlore.language.items import Draft, Item, Value
from benchlore.language.lexing import Lexer
from benchlore.language.neighbours import govern
from benchlore.language.nouns import axis_nouns
from benchlore.language.prose import of_the_symptom, stretches
from benchlore.language.rewording import reworded
from benchlore.language.scanning import MAX_TEXT, scan
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
    words = vocabulary or current()
    found: list[Draft] = []
    for sentence in _sentences(text, words):
        found += _sentence(question(sentence))
    return _finished(found, text)


def read_told(
    text: str, vocabulary: Vocabulary | None = None
) -> tuple[tuple[Reading, ...], frozenset[str]]:
    """Return the conditions of `text` as `read_conditions` does, and the tags of its cues.

    The tags are the keys of `vocabulary_cues.toml`: "bad" where something is wrong, "repair",
    "finding", "outcome", "hearsay"; what a text is about can be told by them.
    """
    words = vocabulary or current()
    found: list[Draft] = []
    tags: set[str] = set()
    for sentence in _sentences(text, words):
        tags.update(tag for item in sentence if item.kind == "cue" for tag in item.tags)
        found += _sentence(question(sentence))
    return _finished(found, text), frozenset(tags)


def read_prose(text: str, vocabulary: Vocabulary | None = None) -> tuple[Reading, ...]:
    """Read a note's prose: only sentences that tell of the symptom, not of checks and repairs.

    `text` may hold Markdown headings: what stands under "Next time" or "What we did" is not read.
    """
    words = vocabulary or current()
    found: dict[tuple[str, str, str], Reading] = {}
    text = text[:MAX_TEXT]
    for part in stretches(text, words):
        piece = text[part.start : part.end]
        drafts: list[Draft] = []
        for sentence in _sentences(piece, words):
            body = question(sentence)
            said = piece[sentence[0].start : sentence[-1].end]
            if body and of_the_symptom(clauses(body), said, words, complaint=part.complaint):
                drafts += _sentence(body)
        for reading in _finished(drafts, piece):
            start, end = reading.start + part.start, reading.end + part.start
            key = (reading.axis, reading.value, reading.polarity)
            found.setdefault(key, replace(reading, start=start, end=end))
    return tuple(found.values())


def _sentences(text: str, vocabulary: Vocabulary) -> Iterator[list[Item]]:
    tokens = reworded(text, scan(text), vocabulary)
    return sentences(Lexer(text, tokens, vocabulary).items())


def _sentence(body: Sequence[Item]) -> list[Draft]:
    parts = telling(clauses(body))
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
