"""Cases that say nearly what a draft says already, found before it is saved."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from benchlore.index.digests import NO_DIGEST
from benchlore.index.rows import comparable, comparable_code
from benchlore.language.causes import CauseReading, read_cause, same_cause
from benchlore.language.vocabulary import Vocabulary, of_shop
from benchlore.notes import Machine, Note
from benchlore.search.engine import Engine
from benchlore.search.results import MAX_QUESTION, Hit, Question
from benchlore.search.scoring import Closeness

SEARCHED = 20
"""Cases that are looked at."""


@dataclass(frozen=True, slots=True)
class Near:
    """A case that is nearly the draft.

    Attributes:
        note: without its text and sections.
        words: why, in words: `same machine, same cause, close symptom`.
        closeness: of its symptom and conditions, as the search has it.
        same_case: it has the draft's job-card number.
    """

    note: Note
    words: str
    closeness: Closeness
    same_case: bool = False


def near_duplicates(engine: Engine, draft: Note, most: int = 5) -> tuple[Near, ...]:
    """Return up to `most` cases that may be the draft's job or the same fault again.

    Those with its job-card number come first, then those whose symptom is close and whose machine
    or cause is the same; a related symptom needs both. The draft's own file is none of them.

    Raises:
        IndexDamaged: a file of the index is not what the build wrote.
    """
    hits = {hit.note.path: hit for hit in _searched(engine, draft)}
    found: list[Near] = []
    if draft.case.strip():
        for stored in engine.index.store.notes_by_case(draft.case):
            hit = hits.pop(stored.note.path, None)
            if stored.note.kind == "case" and stored.note.path != draft.path:
                closeness: Closeness = hit.closeness if hit else "far"
                found.append(Near(stored.note, "the same job-card number", closeness, True))
    vocabulary = of_shop(engine.index.shop.settings.vocabulary)
    causes = [read_cause(cause.part, cause.fault, vocabulary) for cause in draft.causes]
    found += _alike(engine, draft, list(hits.values()), causes, vocabulary)
    return tuple(found[:most])


def question_of(draft: Note) -> str:
    """What a search is asked for a draft: its symptom and its conditions, empty without either."""
    parts = [draft.symptom.text if draft.symptom else ""]
    parts += [stated.text for stated in draft.present]
    parts += [f"not {stated.text}" for stated in draft.absent]
    asked = "; ".join(part.strip() for part in parts if part.strip())
    return asked[:MAX_QUESTION] if any(char.isalnum() for char in asked) else ""


def _searched(engine: Engine, draft: Note) -> Sequence[Hit]:
    asked = question_of(draft)
    if not asked:
        return ()
    answer = engine.find(Question(asked, limit=SEARCHED, articles=0))
    return [hit for hit in answer.cases if hit.note.path != draft.path]


def _alike(
    engine: Engine,
    draft: Note,
    hits: Sequence[Hit],
    causes: Sequence[CauseReading],
    vocabulary: Vocabulary,
) -> Iterator[Near]:
    """Yield the cases with enough in common, the search's order kept within those alike as much."""
    store = engine.index.store
    places = {note.path: stored for stored, note in _numbered(engine, hits)}
    digests = store.digests(places.values())
    ranked: list[tuple[int, Near]] = []
    for hit in hits:
        digest = digests.get(places.get(hit.note.path, -1), NO_DIGEST)
        machine = same_machine(draft.machine, hit.note.machine)
        cause = any(
            one.known and same_cause(one, other, vocabulary)
            for one in causes
            for other in digest.causes
        )
        shared = [name for name, same in (("machine", machine), ("cause", cause)) if same]
        if hit.closeness == "far" or not shared or (hit.closeness == "related" and len(shared) < 2):
            continue
        reason = ", ".join([f"same {name}" for name in shared] + [f"{hit.closeness} symptom"])
        ranked.append((-len(shared), Near(hit.note, reason, hit.closeness)))
    ranked.sort(key=lambda pair: pair[0])
    yield from (near for _, near in ranked)


def _numbered(engine: Engine, hits: Sequence[Hit]) -> Iterator[tuple[int, Note]]:
    for hit in hits:
        for stored in engine.index.store.notes_by_path(hit.note.path):
            yield stored.number, stored.note


def same_machine(one: Machine, other: Machine) -> bool:
    """Say whether two machines are of one make and model; an engine both name must be one too."""
    if not (one.model.strip() and comparable(one.model) == comparable(other.model)):
        return False
    if one.make and other.make and comparable(one.make) != comparable(other.make):
        return False
    engines = {comparable_code(one.engine), comparable_code(other.engine)} - {""}
    return len(engines) < 2
