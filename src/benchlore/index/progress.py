"""How a build says where it stands."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Progress:
    """`done` of `total` pieces of `stage` (0 of 0: not countable); `seconds_left` once known."""

    stage: str
    done: int = 0
    total: int = 0
    seconds_left: float | None = None

    def in_words(self) -> str:
        """`reading notes: 12 of 40, about 8 s left`."""
        words = self.stage
        if self.total:
            words += f": {self.done} of {self.total}"
        if self.seconds_left is not None:
            words += f", about {_duration(self.seconds_left)} left"
        return words


def _duration(seconds: float) -> str:
    if seconds < 90:
        return f"{max(1, round(seconds))} s"
    if seconds < 90 * 60:
        return f"{round(seconds / 60)} min"
    return f"{seconds / 3600:.1f} h"


Report = Callable[[Progress], None]
