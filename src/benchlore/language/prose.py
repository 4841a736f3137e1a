"""A note's prose: which sections and sentences tell of the symptom, and which of the work on it.

A body tells how a fault was found, why it arose and what to do next time; only the little of it
that says when the symptom shows is read. What is not plainly that is left alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from benchlore.language.items import Clause
from benchlore.language.vocabulary import Vocabulary

_HEADING = re.compile(r"^[ \t]*(#{1,6})[ \t]+(.*?)[ \t#]*$", re.M)
_MEASURED = re.compile(
    r"\d\s*(?:mm|cm|thou|mv|v|volts?|ma|amps?|ah|bar|mbar|psi|kpa|mpa|inhg|ohms?|kohm|nm|lb ?ft"
    r"|ft ?lb|n|kg|g|ml|l|litres?|ppm|%|per ?cent|pc|quid|hz|teeth|in|inch|inches|deg|degrees)\b"
    r"|[\N{POUND SIGN}$\N{EURO SIGN}]\s*\d|\d\s*%|\s=\s",
    re.I,
)
_TOLD = ("bad", "fine", "gone", "worse", "better", "lack", "almost", "onset", "same")
_NOT_TOLD = ("check", "cause", "repair", "outcome", "finding", "broken")


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of a body between two headings.

    Attributes:
        start, end: offsets in the body, `end` excluded.
        complaint: it stands under a heading such as "Complaint": what the customer said.
    """

    start: int
    end: int
    complaint: bool


def stretches(text: str, vocabulary: Vocabulary) -> Iterator[Stretch]:
    """Yield the parts of a Markdown body that may tell of the symptom, in order.

    Parts under a heading such as "Next time" or "What we did" are left out; a title (one `#`) is
    read as a part of its own.
    """
    headings = vocabulary.section("headings")
    complaint, work = headings.get("complaint", ()), headings.get("work", ())
    start, open_part, said = 0, True, False
    for heading in _HEADING.finditer(text):
        if open_part and heading.start() > start:
            yield Stretch(start, heading.start(), said)
        words = f" {' '.join(re.findall(r'[a-z]+', heading[2].lower()))} "
        title = len(heading[1]) == 1
        if title:
            yield Stretch(heading.start(2), heading.end(2), complaint=True)
        said = not title and any(f" {word} " in words for word in complaint)
        open_part = said or title or not any(f" {word} " in words for word in work)
        start = heading.end()
    if open_part and start < len(text):
        yield Stretch(start, len(text), said)


@lru_cache(maxsize=4)
def _telling_otherwise(vocabulary: Vocabulary) -> re.Pattern[str]:
    phrases = [phrase for row in vocabulary.section("prose").values() for phrase in row]
    return re.compile(rf"\b(?:{'|'.join(map(re.escape, phrases)) or '(?!)'})\b")


def of_the_symptom(
    parts: Sequence[Clause], text: str, vocabulary: Vocabulary, *, complaint: bool
) -> bool:
    """Say whether a sentence of prose tells of the symptom, not of checks, causes and repairs.

    `text` is the sentence as written; `complaint`: it stands under "Complaint", where "I" is the
    customer and not the technician.
    """
    if complaint:
        return not any(part.has("cause", "repair", "outcome", "finding", "check") for part in parts)
    if any(part.has(*_NOT_TOLD) for part in parts) or _MEASURED.search(text):
        return False
    plain = text.lower().replace("'", "").replace("\N{RIGHT SINGLE QUOTATION MARK}", "")
    if _telling_otherwise(vocabulary).search(plain):
        return False
    return any(part.has(*_TOLD) for part in parts)
