"""Words and signs that open an end of a value, and words that make a bare number a measure."""

from __future__ import annotations

import re

from benchlore.language.quantities.scan import Number

_UP_WORDS = (
    "over|above|more than|greater than|higher than|at least|exceeds|exceeding|upwards of"
    "|min|min.|minimum|min of|minimum of"
)
_UP = frozenset(_UP_WORDS.split("|"))
_DOWN_WORDS = (
    "under|below|less than|lower than|at most|up to|upto|max|max.|maximum|max of|maximum of"
)
_DOWN = frozenset(_DOWN_WORDS.split("|"))
_SYMBOLS = {
    "<": "<",
    ">": ">",
    "\N{LESS-THAN OR EQUAL TO}": "<",
    "\N{GREATER-THAN OR EQUAL TO}": ">",
}
_FILLERS = frozenset(("about", "around", "roughly", "some", "say", "just", "only"))
_NOT = frozenset(("not", "no", "never", "nor"))
_REACHED_WORDS = (
    "blow blown blows warm warmed warming pump pumped wound wind winds run runs ran rev"
    " revs revved charge charged charges brought come comes came go goes went gone creeps"
    " crept get gets got getting done back filled rose rises build builds built"
)
_REACHED = frozenset(_REACHED_WORDS.split())
"""What makes "up to 1.2 bar" the value itself: it was reached."""

_MORE = frozenset(("more", "over", "above", "up", "upwards", "higher", "better"))
_LESS = frozenset(("less", "under", "below", "lower", "down"))
_AFTER = r"\s*([A-Za-z]+)(?:\s([A-Za-z]+))?"

_MEASURED = (
    r"(?:free[\s-]?|end[\s-]?|side[\s-]?)?(?:play|float)|run[\s-]?out|gaps?|clearances?|backlash"
    r"|wear|tread|slop|endfloat"
)
_WORD_AFTER = rf"(?i:\s(?:of\s)?(?:{_MEASURED})\b)"
_WORD_BEFORE = (
    rf"(?i:\b(?:{_MEASURED})[\s:=]*(?:of|was|is|were|are|at|about|now|only|reads?|measured)?\s*$)"
)


def sign_before(text: str, start: int, previous: int) -> tuple[str, int]:
    """Return "<", ">" or "" as the words before a number say, and where those words start.

    `previous` is where the last quantity ended: "0.05 mm over 100 mm" means across.
    """
    first = max(previous, start - 40)
    left = text[first:start].rstrip()
    lower = left.lower()
    if left.endswith("->") or len(lower) != len(left):
        return "", start
    symbol = _SYMBOLS.get(left.rstrip("=")[-1:]) or _SYMBOLS.get(left[-2:-1])
    if symbol and left[-1] in "=<>\N{LESS-THAN OR EQUAL TO}\N{GREATER-THAN OR EQUAL TO}":
        size = 2 if left[-1] == "=" or left[-2:-1] == "=" else 1
        return symbol, first + len(left) - size
    words = [word.lstrip("([\"'*") for word in lower.rstrip(":= ").split()]
    while words and words[-1] in _FILLERS:
        words.pop()
    for size in (2, 1):
        phrase = " ".join(words[-size:])
        up = phrase in _UP
        if len(words) < size or not (up or phrase in _DOWN):
            continue
        earlier = words[-size - 1] if len(words) > size else ""
        place = first + lower.rfind(words[-size])
        if phrase == "over" and previous and place <= previous + 1:
            return "", start
        if phrase in ("up to", "upto") and earlier in _REACHED:
            return "", start
        if earlier in _NOT:
            up = not up
            place = first + lower.rfind(earlier, 0, place - first)
        return (">" if up else "<"), place
    return "", start


def sign_after(text: str, end: int) -> tuple[str, int]:
    """Return "<", ">" or "" as the words after a unit say, and where they end."""
    if text[end : end + 1] == "+":
        follows = text[end + 1 : end + 3].lstrip()[:1]
        return ("", end) if follows and follows in "0123456789/-" else (">", end + 1)
    if text[end : end + 2].lstrip()[:1].lower() not in ("o", "a", "m"):
        return "", end
    match = re.match(_AFTER, text[end : end + 24])
    if match is None:
        return "", end
    first, second = match[1].lower(), (match[2] or "").lower()
    if first in ("or", "and"):
        sign = ">" if second in _MORE else "<" if second in _LESS else ""
        return (sign, end + match.end()) if sign else ("", end)
    if first == "at" and second in ("least", "most"):
        return (">" if second == "least" else "<"), end + match.end()
    if first in ("min", "minimum", "max", "maximum"):
        return (">" if first.startswith("min") else "<"), end + match.end(1)
    return "", end


def beside_measurement(text: str, number: Number) -> bool:
    """Say whether a bare number stands right beside a word of measurement."""
    if text[number.end : number.end + 1].isalnum():
        return False
    before = text[max(0, number.start - 28) : number.start]
    return bool(
        re.match(_WORD_AFTER, text[number.end : number.end + 24]) or re.search(_WORD_BEFORE, before)
    )
