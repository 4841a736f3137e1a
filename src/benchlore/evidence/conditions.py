"""How to make the fault show: the conditions it came on under, and those under which it hid."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from benchlore.evidence.gathering import Case
from benchlore.evidence.model import ConditionSeen, Source
from benchlore.language.wording import phrase


def conditions_seen(cases: Sequence[Case]) -> tuple[ConditionSeen, ...]:
    """Return each condition with the cases that name it, those of the weightiest cases first.

    Where a thing sits is left out: it is no condition that can be brought about.
    """
    shown: dict[str, dict[int, Source]] = {}
    missed: dict[str, dict[int, Source]] = {}
    weights: defaultdict[str, float] = defaultdict(float)
    for case in cases:
        for reading, lines in case.conditions:
            if reading.axis != "place":
                words = phrase(reading)
                seen = (shown if reading.polarity == "present" else missed).setdefault(words, {})
                if case.number not in seen:
                    seen[case.number] = case.source(lines)
                    weights[words] += case.weight
    found = [
        ConditionSeen(
            words,
            len(shown.get(words, ())),
            len(missed.get(words, ())),
            tuple(shown.get(words, {}).values()),
            tuple(missed.get(words, {}).values()),
        )
        for words in dict.fromkeys((*shown, *missed))
    ]
    return tuple(sorted(found, key=lambda seen: -weights[seen.words]))
