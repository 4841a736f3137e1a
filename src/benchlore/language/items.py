"""What the lexer finds in a text, and what the rules make of it."""

from __future__ import annotations

from dataclasses import dataclass, field

from benchlore.language.spans import Span


@dataclass(frozen=True, slots=True)
class Value:
    """A condition without polarity: an axis, a name or a written range, and the numbers."""

    axis: str
    value: str
    span: Span | None = None


@dataclass(slots=True)
class Item:
    """A stretch of text with what it can be.

    Attributes:
        kind: "cond", "cue", "word" or "stop".
        tags: for a cue, everything it can be: "fine", "no", "bad", "func", "only", ...
        values: for a condition; several at once where one phrase names several axes.
        early, late: what "after 5 minutes" means where the symptom ends, and where it begins then.
        first, last: token numbers, `last` excluded. start, end: offsets in the text.
    """

    kind: str
    first: int
    last: int
    start: int
    end: int
    text: str
    tags: frozenset[str] = frozenset()
    values: tuple[Value, ...] = ()
    early: tuple[Value, ...] = ()
    late: tuple[Value, ...] = ()
    names: tuple[str, ...] = ()


@dataclass(slots=True)
class Clause:
    """A part of a sentence, up to the next stop or conjunction.

    Attributes:
        intro: what it began with: "", ",", "but", "then", "and".
        items: what is in it.
    """

    intro: str
    items: list[Item] = field(default_factory=list)
    _tags: frozenset[str] | None = None

    def has(self, *tags: str) -> bool:
        """Say whether any item carries one of the tags; only for a clause that is complete."""
        if self._tags is None:
            self._tags = frozenset().union(*(item.tags for item in self.items))
        return not self._tags.isdisjoint(tags)

    @property
    def conditions(self) -> list[Item]:
        """The condition items, in order."""
        return [item for item in self.items if item.kind == "cond"]


@dataclass(slots=True)
class Draft:
    """A reading in the making.

    Attributes:
        sign: "+" or "-".
        implied: it follows from a rule ("only", "until") and gives way to what is said outright.
    """

    value: Value
    sign: str
    item: Item
    grade: str = ""
    implied: bool = False
    weight: float = 1.0
