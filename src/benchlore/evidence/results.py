"""What the technician has found so far, matched to the checks that the cases record."""

from __future__ import annotations

import re
from collections.abc import Sequence

from benchlore.evidence.checks import CheckGroup, limits_seen
from benchlore.evidence.model import FoundResult, Outcome
from benchlore.language.checks import read_check, same_check
from benchlore.language.limits import judge
from benchlore.language.quantities import read_quantities
from benchlore.language.vocabulary import Vocabulary
from benchlore.language.words import fold

# How a result is called: common practice, no source. A word of fault wins over one of order.
_BAD = re.compile(
    r"\b(?:not (?:ok|okay|in order|right|good)|no good|n\.?g\.?|bad|worn|beyond|failed?|fails|rough"
    r"|out of|leak(?:s|ing)?|play|slack|loose|high|low|seized|stuck|blocked|broken|cracked|split"
    r"|noisy|faulty|u/s|wrong|dirty|weak|open circuit|short|torn|found it|yes it|positive|drops?"
    r")\b",
    re.I,
)
_GOOD = re.compile(
    r"\b(?:ok|okay|in order|fine|good|pass(?:es|ed)?|within|normal|sound|clean|tight|free|steady"
    r"|no (?:change|play|leaks?|fault|difference|noise|sign|drop)|nothing|none|all right|dry|smooth"
    r"|as (?:it )?should|to spec(?:ification)?|negative|clear)\b",
    re.I,
)
_NOT = re.compile(
    r"\bnot bad\b|\bno (?:play|leaks?|slack|drop)\b"
    r"|\bnot (?:worn|loose|leaking|seized|stuck|blocked|low|high)\b",
    re.I,
)
_LEAST_SHARED = 0.5


def match_result(
    text: str, groups: Sequence[CheckGroup], vocabulary: Vocabulary
) -> tuple[FoundResult, int | None]:
    """Match `check: result` to one of `groups`, by its number, and tell whether it was in order.

    A measured result is judged by the limits that the cases give; these must agree on it. A value
    without a check's name is of no check.
    """
    name, colon, result = text.partition(":")
    if not colon and read_quantities(text):
        why = "no check is named: it stands beside the values of its kind"
        return FoundResult(text, "", None, why, ()), None
    if not name.strip() or not result.strip():
        return FoundResult(text, "", None, "write it as: check: result", ()), None
    number = _group(name, result, groups, vocabulary)
    if number is None:
        return FoundResult(text, "", None, "no close case records such a check", ()), None
    group = groups[number]
    outcome, why = _outcome(result, group)
    return FoundResult(text, group.name, outcome, why, group.sources), number


def _group(
    name: str, result: str, groups: Sequence[CheckGroup], vocabulary: Vocabulary
) -> int | None:
    """The number of the group that the name means: of the same check, or else so named."""
    asked = frozenset(fold(name))
    reading = read_check(name, result, vocabulary)
    best: tuple[float, int] | None = None
    for number, group in enumerate(groups):
        shared = max(_shared(asked, frozenset(fold(each.check.check))) for each in group.stated)
        if any(same_check(reading, each.digest.reading, vocabulary) for each in group.stated):
            shared += 1.0
        if best is None or shared > best[0]:
            best = shared, number
    return best[1] if best and best[0] >= _LEAST_SHARED else None


def _shared(asked: frozenset[str], words: frozenset[str]) -> float:
    """The share of the words asked for that a check's name has; a little for how few others."""
    if not asked or not words:
        return 0.0
    both = len(asked & words)
    return both / len(asked) + 0.1 * both / len(words)


def _outcome(result: str, group: CheckGroup) -> tuple[Outcome | None, str]:
    limits = limits_seen(group.stated)
    if read_quantities(result):
        verdicts = {judge(result, seen.text, group.name) for seen in limits} - {"none"}
        if len(verdicts) == 1:
            return ("in order" if verdicts == {"within"} else "not in order"), ""
        if verdicts:
            return None, "the limits in the notes disagree on it: say ok or not ok"
        if not _GOOD.search(result) and not _BAD.search(result):
            return None, "no limit in the notes to judge it by: say ok or not ok"
    if _NOT.search(result):
        return "in order", ""
    if _BAD.search(result):
        return "not in order", ""
    if _GOOD.search(result):
        return "in order", ""
    return None, "say ok or not ok"
