"""Cases made of note texts, without an index."""

from __future__ import annotations

from textwrap import dedent

from benchlore.evidence.gathering import Case
from benchlore.evidence.model import Evidence
from benchlore.evidence.summing import evidence_of
from benchlore.index.digests import digest_from_json, digest_of, digest_to_json
from benchlore.index.meaning import meaning_of
from benchlore.language.vocabulary import current
from benchlore.notes.reader import read_note
from benchlore.search.scoring import Closeness
from benchlore.shop import Settings

SHOP = Settings(currency="GBP", labour_rate=60.0)


def case(
    number: int, front: str, body: str = "", chance: float = 0.9, closeness: Closeness = "close"
) -> Case:
    """A case with front matter `front`; what the index keeps of it goes through its own format."""
    text = f"---\n{dedent(front).strip()}\n---\n{body}"
    note = read_note(f"kb/{number:04}.md", text.encode())
    digest = digest_from_json(digest_to_json(digest_of(note, current())))
    conditions = meaning_of(note, current()).conditions
    return Case(number, note, chance, closeness, digest, conditions)


def with_cause(
    number: int, part: str, fault: str = "worn", chance: float = 0.9, more: str = ""
) -> Case:
    """A case with one proved cause; `more` are further lines of front matter."""
    front = f"symptom: hums\ncauses:\n  - {{part: {part}, fault: {fault}, certainty: proved}}\n"
    return case(number, front + dedent(more), chance=chance)


def sum_of(*cases: Case, found: tuple[str, ...] = (), apart: tuple[str, ...] = ()) -> Evidence:
    """What `cases` say, in a shop with GBP and 60 an hour."""
    return evidence_of(cases, None, SHOP, found, apart)
