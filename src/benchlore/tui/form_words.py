"""What the write-up form says below its fields."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.content import Content

from benchlore.tui.display import joined, line, row

if TYPE_CHECKING:
    from benchlore.writeup.looking import Look
    from benchlore.writeup.understood import Understood

MISSING = "not complete: "
_CONDITIONS = ("symptom", "present", "absent")


def heading_words(path: str) -> str:
    """What is being written."""
    return f"Changing {path}" if path else "New case"


def field_words(understood: Understood, table: str, key: str, number: int) -> str:
    """How the field is read: its conditions, its verdict, the name its cause goes by."""
    if key in _CONDITIONS and not table:
        against = "; ".join(each.words for each in understood.contradictions)
        if against:
            return f"cannot both be so: {against}"
        read = [each.words for each in understood.conditions if each.field == key and each.words]
        lost = [each.text for each in understood.not_understood if each.field == key]
        said = [f"read as: {'; '.join(read)}"] if read else []
        said += [f"no condition read from: {', '.join(lost)}"] if lost else []
        return ". ".join(said)
    if table == "checks" and number < len(understood.checks):
        words = understood.checks[number].words
        return f"read as: {words}" if words else ""
    if table == "causes" and number < len(understood.causes):
        cause = understood.causes[number]
        parts = [part for part in (cause.part, cause.place, ", ".join(cause.faults)) if part]
        return f"counted with: {', '.join(parts)}" if parts else ""
    return ""


def offer_words(offers: Sequence[str]) -> Content:
    """The words that fit; Right takes the first."""
    if not offers:
        return row("")
    first = joined((row("Right takes "), line(offers[0], "bold")))
    others = row(f"   Ctrl+N: {' | '.join(offers[1:])}" if len(offers) > 1 else "")
    return joined((first, others))


def missing_words(look: Look, width: int) -> Content:
    """What the case does not say yet, and how many cases are nearly the same."""
    from benchlore.writeup.quality import in_one_line

    count = len(look.near)
    near = f"  {count} near case{'' if count == 1 else 's'}" if count else ""
    lost = [f"no condition read from {each.text}" for each in look.understood.not_understood]
    named = [*look.problems, *lost]
    wrong = f"look at: {named[0]}. " if named else ""
    room = max(width - len(near) - len(wrong) - len(MISSING), 0)
    said = f"{MISSING}{in_one_line(look.missing, room)}" if look.missing else "nothing is missing"
    return joined((line(wrong, "bold"), row(" " if wrong else ""), line(said), row(near, "bold")))
