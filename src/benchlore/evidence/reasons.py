"""Why a case was found, and how the question was understood, in words for every screen alike.

The texts still hold whatever the note holds: pass them through `benchlore.text` to show them.
"""

from __future__ import annotations

from collections.abc import Sequence

from benchlore.language import Reading
from benchlore.language.wording import in_words
from benchlore.search.results import Closest, Hit, Match


def reading_line(readings: Sequence[Reading]) -> str:
    """`read as: above 50 km/h; not when turning right`."""
    return f"read as: {in_words(readings) or 'no condition'}"


def nothing_close(closest: Closest) -> str:
    """`nothing close in the notes` where that is so, else empty."""
    return "nothing close in the notes" if closest in ("far", "none") else ""


def reason_lines(hit: Hit) -> tuple[str, ...]:
    """Why the case was found, a line each: what agrees, what stands against it, what it states."""
    lines = [f"agrees: {_noted(match.stated)}" for match in hit.agrees]
    lines += [f"against: {_against(match)}" for match in hit.conflicts]
    if hit.tokens:
        lines.append(f"states {', '.join(hit.tokens)}")
    lines += [f"value: {value.asked} ~ {value.stated}" for value in hit.values]
    if hit.parts:
        lines.append(f"names: {', '.join(hit.parts)}")
    return tuple(lines)


def copy_lines(hit: Hit) -> list[str]:
    """The further files with this note, a line each, and whether they say the same."""
    return [f"{c.path} ({'same text' if c.same else 'differs: read both'})" for c in hit.copies]


def _against(match: Match) -> str:
    return f"asked {in_words((match.asked,))}, the note says {_noted(match.stated)}"


def _noted(stated: Reading) -> str:
    """The condition in our words, and in the note's where these are others."""
    said = in_words((stated,))
    return said if stated.text.casefold() in said.casefold() else f'{said} ("{stated.text}")'
