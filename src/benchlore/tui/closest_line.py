"""The row above the results that says, before anything else, when none of them is close."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchlore.tui.display import Shown, line

if TYPE_CHECKING:
    from benchlore.search.results import Answer


class ClosestLine(Shown):
    """Takes no place where something close was found, or nothing at all."""

    def show_answer(self, answer: Answer | None, filters: str) -> None:
        """Say it of `answer`; `filters` is what narrowed the search, in words."""
        said = ""
        if answer is not None and (answer.cases or answer.articles):
            # Imported here: it brings the layers below along; the first paint must not wait.
            from benchlore.tui.understood import closest_words

            said = closest_words(answer.closest, filters)
        self.display = bool(said)
        self.show(line(f"{said}; nearest:", "bold"))
