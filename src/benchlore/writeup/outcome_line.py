"""One typed line to how a job ended: "fixed, 4100 km", "came back after 3 weeks", "declined"."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass

from benchlore.errors import UsageError
from benchlore.notes import Outcome
from benchlore.writeup.dates import days_in

FIXED, IMPROVED, NOT_FIXED, DECLINED, OPEN = "fixed", "improved", "not fixed", "declined", "open"
RESULTS = (FIXED, IMPROVED, NOT_FIXED, DECLINED, OPEN)

_EXAMPLE = 'for example: "fixed, 4100 km", "came back after 3 weeks", "not fixed", "declined"'

_NOT = r"(?:no|not|never|without|nothing|none|\w+n'?t|cannot)\b"
_NO_COMEBACK = re.compile(
    rf"\b{_NOT}(?: (?:been|come|came|yet|a|has|have|had))* (?:comeback|back|returned)\b"
    r"(?! (?:to|on))|\bno (?:comebacks|returns)\b",
    re.I,
)
_COMEBACK = re.compile(
    r"\b(?:come ?back|c(?:a|o)me back|comes back|back (?:again|in|after|with|at)|is back"
    r"|fault back|same again|did it again|doing it again"
    r"|(?<!car )(?<!van )(?<!customer )(?<!vehicle )(?<!machine )(?:has |have |had )?return(?:ed|s)"
    r"(?! to))\b",
    re.I,
)
_NOT_RESTORED = re.compile(
    r"\bnot (?:\w+ )?back to\b"
    r"|\b(?:power|boost|pressure|heat|drive|charge|cooling|brakes?|assistance) (?:is )?not back\b",
    re.I,
)
_DENIED = re.compile(
    r"\b(?:not|never|cannot|can ?not|hardly|\w+n'?t|isnt|wasnt|wont|cant|didnt|doesnt|hasnt)"
    r"(?: \w+){0,4}? $",
    re.I,
)
"""What stands before a good word in the same clause and turns it round: "could not be", "isn't"."""

_CLAUSE = re.compile(r"[,;.:!]+|\bbut\b|\bthen\b|\band\b", re.I)
# What is looked for first wins: "not fixed" before "fixed". Common practice, no source.
_WORDS = (
    (NOT_FIXED, r"not (?:fixed|cured|sorted|solved|repaired|right|better|ok(?:ay)?)|no (?:better"
                r"|less|change|good|different|joy)|unchanged|worse|unfixed"
                r"|still (?:there|doing it|does it|the same|same|not right|bad|noisy|leaks|leaking"
                r"|misfiring|knocking|there)|fault remains|as before"),
    (DECLINED, r"declined|refused|turned down|too dear|not worth it|not going ahead|scrapped"
               r"|sold|said no"),
    (OPEN, r"open|waiting|awaiting|on order|ordered|ongoing|in progress|unfinished|not finished"
           r"|to be (?:done|seen|continued)|monitor(?:ing)?|parked up"),
    (IMPROVED, r"improved|better|partly|less|reduced|quieter|nearly|almost"),
    (FIXED, r"fixed|cured?|sorted|solved|repaired|mended|ok|okay|fine|all good|good|quiet|silent"
            r"|dry|holding|gone|as new|no trouble|no problems?|runs well|right"),
)  # fmt: skip
_RESULTS = tuple((result, re.compile(rf"\b(?:{words})\b", re.I)) for result, words in _WORDS)
_STILL = re.compile(r"\bstill\b", re.I)
_SMALL = "a|an|one|two|three|four|five|six|seven|eight|nine|ten|twelve"
_AFTER = re.compile(
    rf"(?<![\w.,])(?:\d[\d,. ]*k?|{_SMALL})\s*"
    r"(?:km|kms|miles?|mi|hours?|hrs?|h|days?|weeks?|wks?|months?|mths?|years?|yrs?)(?![\w/])",
    re.I,
)


@dataclass(frozen=True, slots=True)
class OutcomeRead:
    """What would be written of an outcome; every text as in the note, "" for what is not said.

    Attributes:
        result: one of `RESULTS`.
        date: ISO date.
        after: distance or time as typed.
        comeback: "true", "false" or "".
    """

    result: str
    date: str
    after: str = ""
    comeback: str = ""

    @property
    def fields(self) -> dict[str, str]:
        """The outcome as it stands in front matter, what is empty left out."""
        pairs = (("result", self.result), ("date", self.date), ("after", self.after),
                 ("comeback", self.comeback))  # fmt: skip
        return {key: value for key, value in pairs if value}


def read_outcome(typed: str, today: datetime.date, earlier: Outcome | None = None) -> OutcomeRead:
    """Read one line; `earlier` is what the case says so far, for a line such as "2000 miles, ok".

    A comeback means that the case is not fixed. The date is `today` unless the line names another.

    Raises:
        UsageError: no result can be told from the line.
    """
    dated = days_in(typed)
    day = dated[0].day if dated else today
    said = typed
    for each in reversed(dated):
        said = said[: each.start] + " " + said[each.end :]
    after = _AFTER.search(said)
    kept = _AFTER.sub(" ", said)
    result, comeback = _result(kept)
    if not result and after is not None and earlier is not None and not _words(kept):
        result = _known(earlier.result)  # "4100 km" alone: still as it was
        comeback = "false" if result in (FIXED, IMPROVED) else ""
    if result == FIXED and earlier is not None and _STILL.search(kept):
        result = IMPROVED if _known(earlier.result) == IMPROVED else FIXED
    if not result:
        raise UsageError("no outcome can be told from that line", _EXAMPLE)
    return OutcomeRead(result, day.isoformat(), after[0].strip() if after else "", comeback)


def _result(said: str) -> tuple[str, str]:
    """The result and the comeback of a line without days and distances."""
    if _NOT_RESTORED.search(said):
        return NOT_FIXED, ""
    if _NO_COMEBACK.search(said):
        left = _NO_COMEBACK.sub(" ", said)
        result = _told(left) or FIXED
        return result, "false" if result in (FIXED, IMPROVED) else ""
    if _COMEBACK.search(said):
        return NOT_FIXED, "true"
    result = _told(said)
    lasting = result in (FIXED, IMPROVED) and _STILL.search(said)
    return result, "false" if lasting else ""


def _told(said: str) -> str:
    """The result of a whole line: what went wrong counts before what went well.

    Where one clause says that it is done and another that it waits, the later one is how it ended.
    """
    found = [result for clause in _CLAUSE.split(said) if (result := _first(clause))]
    for result in (NOT_FIXED, DECLINED):
        if result in found:
            return result
    if OPEN in found:
        return found[-1]
    return IMPROVED if IMPROVED in found else found[0] if found else ""


def _first(clause: str) -> str:
    """The result that one clause tells."""
    for result, pattern in _RESULTS:
        match = pattern.search(clause)
        if match is None:
            continue
        if result in (FIXED, IMPROVED) and _DENIED.search(clause[: match.start()]):
            return NOT_FIXED
        return result
    return ""


def _words(said: str) -> bool:
    kept = re.sub(
        r"\b(?:now|at|after|and|on|the|since|for|checked|km|miles)\b", " ", said, flags=re.I
    )
    return any(char.isalnum() for char in kept)


def _known(result: str) -> str:
    plain = " ".join(result.casefold().split())
    return plain if plain in RESULTS else ""


def in_words(outcome: OutcomeRead) -> str:
    """What would be written: `fixed on 2025-08-01, seen again after 4100 km, no comeback`."""
    parts = [f"{outcome.result} on {outcome.date}" if outcome.date else outcome.result]
    came_back = outcome.comeback == "true"
    if came_back:
        parts.append(f"came back after {outcome.after}" if outcome.after else "came back")
    elif outcome.after:
        parts.append(f"seen again after {outcome.after}")
    if outcome.comeback == "false":
        parts.append("no comeback")
    return ", ".join(parts)
