"""What a run of cue words says about the symptom: there, not there, stronger, ending, starting.

A run is the cues between two conditions: "doesn't go away" is ("not", "gone").
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from itertools import pairwise

from benchlore.language.items import Item


class State(Enum):
    """What is said of the symptom."""

    PRESENT = "present"
    ABSENT = "absent"
    GONE = "gone"
    """It ends there: absent, and present at the opposite (rule 3)."""
    WORSE = "worse"
    BETTER = "better"
    SAME = "same"
    NO_EFFECT = "no effect"
    ONSET = "onset"
    """It begins there: present, and absent at the opposite (P34)."""
    RETURN = "return"
    """The function comes back there, so the symptom is absent (P30, P31)."""
    UNSAID = "unsaid"
    """Words stand there that are not understood, and a contrast: it is left alone."""


PRESENT = frozenset({State.PRESENT, State.WORSE, State.BETTER, State.ONSET, State.SAME})

STATE_TAGS = frozenset(
    [
        "fine",
        "no",
        "not",
        "hear",
        "gone",
        "back",
        "onset",
        "begin",
        "worse",
        "better",
        "almost",
        "same",
        "no-effect",
        "still",
        "no-longer",
        "tried",
        "lack",
        "refusal",
        "bad",
        "func",
        "free",
    ]
)
_NEGATIVE = frozenset({"no", "not", "no-longer"})


@dataclass(slots=True)
class Run:
    """A run of cue items and how many plain words stand among them."""

    items: list[Item] = field(default_factory=list)
    words: int = 0

    @property
    def tags(self) -> list[frozenset[str]]:
        """The tags of each item, in order."""
        return [item.tags for item in self.items]

    def has(self, *tags: str) -> bool:
        """Say whether any item carries one of the tags."""
        return any(not item.tags.isdisjoint(tags) for item in self.items)


def negations(run: Run) -> int:
    """Count the denials of a run."""
    count = sum(1 for tags in run.tags if tags & _NEGATIVE and "fine" not in tags)
    tags = run.tags
    for before, after in pairwise(tags):
        if "bad" in before and "free" in after:  # "vibration-free", P02
            count += 1
    return count


def bare_denial(run: Run) -> bool:
    """Say whether a run only denies: "not", "never", with nothing that it denies."""
    return bool(run.items) and all(tags & _NEGATIVE for tags in run.tags) and not run.words


def state_of(run: Run, *, lacking: bool, failing: bool = False, until: bool = False) -> State:
    """Return what a run says.

    `lacking`: the sentence has named a lack before ("no heat"), so what "comes back" is the
    function. `failing`: it has told of stalling or of poor pull, so what "picks up" is the engine.
    `until`: "until" follows, so "doesn't start" is about the noise.
    """
    odd = negations(run) % 2 == 1
    if run.has("tried"):
        return State.ABSENT
    if run.has("no-effect"):
        return State.NO_EFFECT
    if run.has("same"):
        return State.SAME
    if run.has("almost"):  # P10, never `gone`
        return State.BETTER
    if run.has("gone"):  # P03, P04; P24 turned round
        return State.PRESENT if odd or _supply_gone(run) else State.GONE
    if run.has("onset") and not odd:
        return State.ONSET
    if run.has("back") and not run.has("bad"):
        returns = lacking or (failing and run.has("revives"))
        return State.PRESENT if odd else State.RETURN if returns else State.ONSET
    if run.has("back"):
        return State.ABSENT if odd else State.ONSET
    return _plain_state(run, odd, until)


def _plain_state(run: Run, odd: bool, until: bool) -> State:
    denied = negations(run) > 0
    if run.has("lack"):  # P31
        return State.PRESENT
    if run.has("better"):  # P08; "no better" is no change
        return State.PRESENT if odd else State.BETTER
    if run.has("worse"):  # P07
        return (
            State.PRESENT if odd and not run.has("bad") else (State.ABSENT if odd else State.WORSE)
        )
    if run.has("fine"):  # P01; P23 turned round
        return State.PRESENT if odd else State.ABSENT
    if run.has("begin") and odd and until and (run.has("bad") or not run.has("func")):
        return State.ABSENT  # P12: "the whine doesn't start till"
    if run.has("bad"):  # P02; P25 turned round
        return State.ABSENT if odd else State.PRESENT
    if run.has("func"):  # P29: a lack is the symptom; P27b: a lack denied is not
        return State.PRESENT if odd else State.ABSENT if denied else State.PRESENT
    if (
        run.has("refusal") and run.words and odd and not run.has("hear", "still")
    ):  # "won't ..." with a word that is not known
        return State.PRESENT
    return State.ABSENT if odd else State.PRESENT


def _supply_gone(run: Run) -> bool:
    """P31: "oil pressure gone when hot": what goes is the function, so it is a lack."""
    if run.has("bad"):
        return False
    return any("supply" in before and "gone" in after for before, after in pairwise(run.tags))


def fails(run: Run) -> bool:
    """Say whether a run tells of stalling or of poor pull."""
    return run.has("failing") and negations(run) % 2 == 0


def lacks(run: Run) -> bool:
    """Say whether a run names a lack that is the symptom (P29..P31)."""
    return run.has("lack") or (
        negations(run) % 2 == 1 and run.has("func") and not run.has("bad", "fine", "gone")
    )
