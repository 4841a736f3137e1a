"""Labelled pairs of `data/same_*.txt`, and how many of them are told right."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

DATA = Path(__file__).parent / "data"

Written = tuple[str, str]
"""A part and its fault, or a check and its value."""


@dataclass(frozen=True)
class Pair:
    """Two written causes or checks, and whether they are one."""

    same: bool
    one: Written
    other: Written


@dataclass
class Score:
    """How the pairs were told: precision and recall from 0 to 1, and the pairs told wrongly."""

    right: int = 0
    merged_wrongly: list[Pair] = field(default_factory=list)
    missed: list[Pair] = field(default_factory=list)

    @property
    def precision(self) -> float:
        return self.right / max(1, self.right + len(self.merged_wrongly))

    @property
    def recall(self) -> float:
        return self.right / max(1, self.right + len(self.missed))

    def __str__(self) -> str:
        return f"precision {self.precision:.3f}, recall {self.recall:.3f}"


def pairs(name: str) -> Sequence[Pair]:
    """Read a file of pairs."""
    found = []
    for line in (DATA / name).read_text(encoding="utf-8").splitlines():
        if line and not line.startswith("#"):
            label, one, other = line.split("\t")
            found.append(Pair(label == "yes", _written(one), _written(other)))
    return found


def _written(text: str) -> Written:
    name, _, rest = text.partition("::")
    return name.strip(), rest.strip()


def score(pairs: Iterable[Pair], same: Callable[[Written, Written], bool]) -> Score:
    """Count how `same` tells the pairs."""
    told = Score()
    for pair in pairs:
        found = same(pair.one, pair.other)
        if found and pair.same:
            told.right += 1
        elif found:
            told.merged_wrongly.append(pair)
        elif pair.same:
            told.missed.append(pair)
    return told


Floor = tuple[str, Sequence[Pair], float, float]
"""A name, pairs, and the least precision and recall that are asked of them."""


def below(floors: Iterable[Floor], same: Callable[[Written, Written], bool]) -> list[str]:
    """Say which floors `same` falls below, with what it reaches; no pair, as some are held back."""
    told = [(name, score(some, same), low, least) for name, some, low, least in floors]
    return [
        f"{name}: {reached}, asked {low} and {least}"
        for name, reached, low, least in told
        if reached.precision < low or reached.recall < least
    ]
