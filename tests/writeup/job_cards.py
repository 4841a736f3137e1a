"""Job cards with what should be proposed of them, and how far a reader of cards keeps to it."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from benchlore.language.conditions import read_conditions
from benchlore.language.vocabulary import shipped
from benchlore.notes.reader import read_note
from benchlore.writeup.proposing import Proposal, propose
from benchlore.writeup.shop_words import ShopWords
from shops import REPOSITORY

CARDS = Path(__file__).parent / "data" / "job_cards.txt"
TODAY = datetime.date(2026, 6, 1)


@dataclass(frozen=True)
class Expected:
    """One thing that should be proposed; `optional`: no loss where it is not."""

    field: str
    parts: tuple[str, ...]
    optional: bool


@dataclass(frozen=True)
class Card:
    """A card's text and what should be proposed of it; every second card is held back."""

    name: str
    text: str
    expected: tuple[Expected, ...]
    held_back: bool


@dataclass
class Score:
    """Counts over cards: `wrong` are proposals that nobody expected."""

    right: int = 0
    wrong: int = 0
    wanted: int = 0
    met: int = 0

    @property
    def precision(self) -> float:
        return self.right / max(self.right + self.wrong, 1)

    @property
    def recall(self) -> float:
        return self.met / max(self.wanted, 1)


def cards() -> list[Card]:
    """All cards, in the order of the file."""
    pieces = re.split(r"^=== ", CARDS.read_text("utf-8"), flags=re.M)[1:]
    return [_card(piece, number) for number, piece in enumerate(pieces)]


def _card(piece: str, number: int) -> Card:
    name, _, rest = piece.partition("\n")
    text, _, listed = rest.partition("\n---\n")
    expected = []
    for line in listed.strip().splitlines():
        field, *parts = (part.strip() for part in line.split("|"))
        expected.append(Expected(field.lstrip("?"), tuple(parts), field.startswith("?")))
    return Card(name, text, tuple(expected), number % 2 == 1)


@cache
def demo_words() -> ShopWords:
    """The words of the demo shop."""
    paths = sorted((REPOSITORY / "kb").rglob("*.md"))
    return ShopWords.of_notes(read_note(str(path), path.read_bytes()) for path in paths)


def proposed(text: str) -> tuple[Proposal, ...]:
    """What is proposed of a text in the demo shop."""
    return propose(text, shipped(), TODAY, demo_words())


def score(chosen: list[Card], errors: list[str] | None = None) -> Score:
    """Compare proposals with what is expected; `errors` takes one line about each error."""
    total = Score()
    for card in chosen:
        left = list(card.expected)
        for proposal in proposed(card.text):
            found = next((each for each in left if _meets(proposal, each)), None)
            if found is None:
                total.wrong += 1
                if errors is not None:
                    errors.append(f"{card.name}: wrong {proposal.field}: {proposal.value}")
                continue
            total.right += 1
            total.met += not found.optional
            left.remove(found)
        total.wanted += sum(not each.optional for each in card.expected)
        if errors is not None:
            errors += [f"{card.name}: missed {e.field}: {e.parts}" for e in left if not e.optional]
    return total


def _meets(proposal: Proposal, expected: Expected) -> bool:
    if proposal.field != expected.field:
        return False
    value, parts = proposal.value, expected.parts
    if isinstance(value, str):
        wanted = parts[0]
        if proposal.field in ("present", "absent"):
            return _plain(value) == _plain(wanted) or _conditions(value) == _conditions(wanted)
        if proposal.field == "symptom":
            return _shared(value, wanted) >= 0.8
        return _plain(value) == _plain(wanted) or (proposal.field == "machine.odometer" and (
            _plain(value).startswith(_plain(wanted) + " ")
        ))  # fmt: skip
    assert isinstance(value, dict)
    said = {key: str(text) for key, text in value.items()}
    if proposal.field == "checks":
        return (
            _plain(said["value"]) == _plain(parts[1])
            and _plain(said.get("limit", "")) == _plain(parts[2])
            and _shared(said["check"], parts[0]) >= 0.6
        )
    if proposal.field == "causes":
        return _shared(said["part"], parts[0]) >= 0.6 and (
            not parts[1] or _words(parts[1]) <= _words(said.get("fault", ""))
        )
    date = parts[1] if len(parts) > 1 else ""
    return said["result"] == parts[0] and (not date or said.get("date", "") == date)


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())


def _conditions(text: str) -> set[tuple[str, str]] | str:
    return {(r.axis, r.value) for r in read_conditions(text)} or _plain(text)


def _shared(one: str, other: str) -> float:
    """Words that both have, of all that one of them has."""
    a, b = _words(one), _words(other)
    return len(a & b) / max(len(a | b), 1)


def _words(text: str) -> set[str]:
    return set(re.findall(r"[\w./+-]+", text.casefold()))
