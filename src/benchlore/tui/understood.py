"""How a symptom was read, and which parts of that do not count. No screen is needed to test it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from textual.content import Content

from benchlore.evidence.reasons import nothing_close, reading_line
from benchlore.language import Reading
from benchlore.language.wording import in_words
from benchlore.search.asked import key_of
from benchlore.search.results import Answer, Closest
from benchlore.tui.display import joined, line, row

Keys = frozenset[tuple[str, str, str]]
"""Conditions by axis, value and polarity, as in `Question.dropped`."""

MOST_DROPPED = 0.5
"""Share of the row that dropped conditions may take where there is no room for everything."""


@dataclass(frozen=True, slots=True)
class Understood:
    """The conditions read from a symptom.

    Attributes:
        readings: all of them, those that were dropped too, in the order of the words.
        dropped: those that do not count.
    """

    readings: tuple[Reading, ...] = ()
    dropped: Keys = frozenset()

    def counts(self, reading: Reading) -> bool:
        """Whether `reading` has a say in the search."""
        return key_of(reading) not in self.dropped

    def turned(self, number: int) -> Understood:
        """With the reading `number`, from 0, dropped, or taken back where it was."""
        return replace(self, dropped=self.dropped ^ {key_of(self.readings[number])})


@dataclass(frozen=True, slots=True)
class Found:
    """What a search brought: no answer for a text that says nothing."""

    answer: Answer | None
    understood: Understood = Understood()


def still_read(readings: tuple[Reading, ...], dropped: Keys) -> Keys:
    """Those of `dropped` that are among `readings`; the others went with the words they came of."""
    return dropped & {key_of(reading) for reading in readings}


def understood_row(understood: Understood, width: int) -> Content:
    """`read as: from 30 mph | dropped: turning left`, cut to `width` cells."""
    counting = [each for each in understood.readings if understood.counts(each)]
    left_out = [each for each in understood.readings if not understood.counts(each)]
    read = line(reading_line(counting))
    if not left_out:
        return read.truncate(max(width, 1), ellipsis=True)
    dropped = joined((row(" | "), line(f"dropped: {in_words(left_out)}", "bold")))
    # Both must be seen: who has dropped something must not forget it.
    least = max(int(width * MOST_DROPPED), width - read.cell_length)
    dropped = dropped.truncate(max(least, 1), ellipsis=True)
    read = read.truncate(max(width - dropped.cell_length, 1), ellipsis=True)
    return joined((read, dropped))


def reading_rows(understood: Understood, marked: int = 0) -> list[Content]:
    """`> counts   turning left  from "left-handers"`: a row for each condition, one of them marked.

    A colour would say nothing on many a screen.
    """
    words = [in_words((reading,)) for reading in understood.readings]
    width = max(map(len, words), default=0)
    out = []
    for number, (reading, said) in enumerate(zip(understood.readings, words, strict=True)):
        mark = row("> " if number == marked else "  ", "bold")
        state = row("counts   ") if understood.counts(reading) else row("dropped  ", "bold")
        source = line(f'from "{reading.text}"')
        out.append(joined((mark, state, row(said.ljust(width + 2)), source)))
    return out


def closest_words(closest: Closest, filters: str) -> str:
    """`nothing close in the notes`, and what narrowed the search; empty where something is."""
    said = nothing_close(closest)
    return f"{said} (only: {filters})" if said and filters else said
