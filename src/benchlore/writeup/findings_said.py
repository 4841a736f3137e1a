"""What a job card says was measured: the words before a value, the value, and its limit."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from benchlore.language.checks import read_check
from benchlore.language.quantities import Quantity, read_quantities
from benchlore.language.vocabulary import Vocabulary
from benchlore.writeup.blame import names_a_thing
from benchlore.writeup.dates import days_in
from benchlore.writeup.proposal import Found
from benchlore.writeup.statements import Statement

_NO_FINDING = frozenset(["time", "distance", "speed", "rotation", "energy"])
"""Kinds of values that tell of the job or of conditions, not of what was measured."""

_NUMBER = r"[<>]?=?\s?-?(?:\d[\d,]*(?:\.\d+)?|\.\d+)"
_UNIT = (
    r"(?:\s?(?!to\b|max|min|and\b|or\b)(?:[A-Za-z%\N{MICRO SIGN}\N{OHM SIGN}\N{DEGREE SIGN}\""
    r"\N{GREEK CAPITAL LETTER OMEGA}]"
    r"[A-Za-z\N{DEGREE SIGN}]{0,5}(?:/[A-Za-z]{1,4})?))"
)
_LIMIT = re.compile(
    r"(?:(?: (?!low\b|high\b|short\b|out\b|down\b|over\b|under\b)[a-z]+){0,4}"
    r"(?=, ?(?:limit|lim|spec|max|min|should)))?"
    r"\s*[,(\[]?\s*(?P<word>limits?|lim\.?|spec(?:ification)?\.?|tol(?:erance)?\.?"
    rf"|should (?:be|hold|read)|allowed|permitted)?[\s:=]*(?P<limit>"
    rf"(?:(?P<side>max(?:imum)?\.?|min(?:imum)?\.?|under|over|at (?:most|least))\s*)?{_NUMBER}"
    rf"(?:{_UNIT}(?=[\s,.;)\]-]|$))?(?:\s?(?:-|\.\.\.?|to|\N{{EN DASH}})\s?{_NUMBER}"
    rf"(?:{_UNIT}(?=[\s,.;)\]]|$))?)?(?P<behind>\s?(?:max(?:imum)?|min(?:imum)?))?)\s*[)\]]?",
    re.I,
)
_LEAD = re.compile(
    r"(?:road test|retest|tested|and|then|now|so|but|found|checked|measured|reads?|got|with|was|is"
    r"|the|a|has|only|still|at|of|to|by|down to|up to|=|:|-|,|\d{1,2}[.)])\s+",
    re.I,
)
_TAIL = re.compile(
    r"[\s,:=(-]*(?:\b(?:is|was|are|were|of|at|reads?|reading|only|about|to|by|measured|has|gives?|="
    r"|down to|up to|still|now|got|down|up)\b)?[\s,:=(-]*$",
    re.I,
)
_CUT = re.compile(r"[,;:()]|\b(?:and|but|then|others)\b", re.I)
_DONE = re.compile(
    r"\b(?:fitted|topped|filled|refilled|drained|added|put in|replaced|torqued|tightened|ordered"
    r"|set to|adjusted to|swapped|removed|recharged|charged)\b",
    re.I,
)
_SIDE = re.compile(r"\s+(?:max(?:imum)?|min(?:imum)?)\s*$", re.I)
_WORD = re.compile(r"[^\W\d_]{2,}")
_PLACE = re.compile(
    r"(?:[no]/?s/?[fr]?|[lr]/?h/?[fr]?|[lr]/?[fr]|[fr]/?[lr]|hot|cold"
    r"|(?:other|left|right|front|rear)(?: side)?)",
    re.I,
)
"""What alone names a second value beside one of its kind."""

_LONGEST = 7
"""Words of a check's name; more of them are a tale."""


def checks_said(
    text: str, said: Sequence[Statement], taken: Sequence[Found], vocabulary: Vocabulary
) -> Iterator[Found]:
    """Yield the checks: a name that says what was measured, its value and, where given, the limit.

    `taken` is what other readers have: a value inside is none of a check.
    """
    for statement in said:
        if statement.label in ("complaint", "odometer", "case", "date", "vehicle", "other"):
            continue
        yield from _of(text, statement, taken, vocabulary)


def _of(
    text: str, statement: Statement, taken: Sequence[Found], vocabulary: Vocabulary
) -> Iterator[Found]:
    said = statement.said
    days = days_in(said)
    place, kind = 0, ""
    for quantity in read_quantities(said):
        start, end = _whole(said, quantity)
        if start < place or not _measured(said, quantity, start):
            continue
        if any(day.start <= start < day.end for day in days):
            continue
        at = statement.start + start
        if any(found.start <= at < found.end for found in taken):
            continue
        name = _name(said, place, start)
        if name is None:
            continue
        limit, after = _limit(said, end)
        words = said[name[0] : name[1]]
        another = kind == quantity.dimension and _PLACE.fullmatch(words)
        tells = another or _tells(words, said[start:end], vocabulary)
        if _DONE.search(said[max(0, name[0] - 12) : start]) or not tells:
            place = max(end, after)
            continue
        value = {"check": " ".join(words.split()), "value": said[start:end]}
        if limit:
            value["limit"] = limit
        place, kind = max(end, after), quantity.dimension
        yield Found("checks", {**value}, statement.start + name[0], statement.start + place)


def _whole(said: str, quantity: Quantity) -> tuple[int, int]:
    """Where a value stands, its sign with it."""
    start = quantity.start
    if start and said[start - 1] in "+-" and (start < 2 or said[start - 2] in " \t(:="):
        start -= 1
    side = _SIDE.search(said, start, quantity.end)
    return start, side.start() if side else quantity.end


def _measured(said: str, quantity: Quantity, start: int) -> bool:
    if quantity.dimension in _NO_FINDING:
        return False
    if not quantity.unit and not re.search(r"[.\d]", quantity.text):
        return False
    before = said[max(0, start - 14) : start]
    return not re.search(
        r"\b(?:limit|lim|max|min|spec|target|should be|should hold)\W*$", before, re.I
    )


def _name(said: str, place: int, start: int) -> tuple[int, int] | None:
    """Where the words before a value name what was measured; None where they do not."""
    cuts = [match.end() for match in _CUT.finditer(said, place, start)]
    tail = _TAIL.search(said, place, start)
    end = tail.start() if tail else start
    first = max(
        [cut for cut in cuts if cut <= end and said[cut:end].strip(" ,:=(-")], default=place
    )
    while first < end and said[first] in " \t\r\n,:;.-(=":
        first += 1
    while (lead := _LEAD.match(said, first, end)) is not None:
        first = lead.end()
    words = said[first:end].split()
    if not words or len(words) > _LONGEST or not _WORD.search(said[first:end]):
        return None
    return first, end


def _tells(name: str, value: str, vocabulary: Vocabulary) -> bool:
    """Say whether a name is that of a check: something measured, or a thing that is a part."""
    if names_a_thing(name, vocabulary):
        return True
    words = len(_WORD.findall(name))
    return bool(read_check(name, value if words > 1 else "", vocabulary).measures)


def _limit(said: str, end: int) -> tuple[str, int]:
    """The limit behind a value as typed, and where it ends; "" where there is none."""
    match = _LIMIT.match(said, end)
    if match is None:
        return "", end
    bracket = said[end : match.start("limit")].strip()[:1] in ("(", "[")
    sign = match["limit"][:1] in "<>"
    if not (match["word"] or match["side"] or match["behind"] or sign or bracket):
        return "", end
    return " ".join(match["limit"].split()), match.end()
