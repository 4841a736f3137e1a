"""What stands in place of results when there are none: what it is, and what to do."""

from __future__ import annotations

from dataclasses import dataclass

EXAMPLE = "hums from 30 mph, louder turning left, gone on the overrun"
"""Shown in the empty symptom line."""


@dataclass(frozen=True, slots=True)
class Situation:
    """Why there may be nothing to show.

    Attributes:
        typed: something has been typed that can be searched for.
        notes: how many notes the index holds; None without an index.
        what, todo: why there is no index, and what can be done about it.
        building: how far the build has come, empty while none runs.
        filters: what narrows the search, in words.
        waiting: what is typed has not been answered yet.
    """

    typed: bool = False
    notes: int | None = None
    what: str = ""
    todo: str = ""
    building: str = ""
    filters: str = ""
    waiting: bool = False


def idle_lines(situation: Situation) -> tuple[str, ...]:
    """The lines to show; the first is the heading."""
    if situation.notes is None:
        return _without_index(situation)
    if situation.notes == 0:
        return (
            "There are no case notes in this shop folder yet.",
            "Put one file a job into kb/, plain text or Markdown: its first line is the symptom.",
            "Then press F5. What is written there is found from then on.",
        )
    if not situation.typed:
        return (
            "What does the customer notice?",
            "Type it the way you would say it: when it shows, when it does not, where from.",
            f"For example: {EXAMPLE}",
            "Trouble codes and engine codes are found letter by letter: P0301, HD22.",
            "F2 narrows to a system, make, engine or date. F1 explains the rest.",
        )
    if situation.waiting:
        return ("Looking ...",)
    if situation.filters:
        return (
            f"Nothing close in the notes (only: {situation.filters}).",
            "F2 changes what the search is narrowed to. Ctrl+R there takes it off.",
        )
    return (
        "Nothing close in the notes.",
        "Say it in other words: the noise or the feel, the speed, hot or cold, under load or not.",
    )


def _without_index(situation: Situation) -> tuple[str, ...]:
    if situation.building:
        return (
            _sentence(f"{situation.what or 'no index yet'}: it is made from the notes now"),
            situation.building,
            "You can type already: the answer comes when it is ready. F6 stops it.",
        )
    if situation.what:
        return (_sentence(situation.what), situation.todo, "F1 explains the keys.")
    return ("Getting ready ...", "You can type already.")


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."
