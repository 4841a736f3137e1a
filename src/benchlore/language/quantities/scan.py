"""Numbers as shops write them: decimals, fractions, thousands, words, and what joins two."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator
from typing import NamedTuple

_ONES = "one two three four five six seven eight nine ten eleven twelve"
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety"
_WORDS: dict[str, float] = {
    **{word: float(value) for value, word in enumerate(_ONES.split(), 1)},
    **{word: 10.0 * value for value, word in enumerate(_TENS.split(), 2)},
    "fifteen": 15.0,
    "half": 0.5,
    "quarter": 0.25,
    "quarters": 0.75,
}
_ARTICLES = (" of an", " of a", " an", " a")
_VULGAR = {
    "\N{VULGAR FRACTION ONE HALF}": 0.5,
    "\N{VULGAR FRACTION ONE QUARTER}": 0.25,
    "\N{VULGAR FRACTION THREE QUARTERS}": 0.75,
    "\N{VULGAR FRACTION ONE EIGHTH}": 0.125,
    "\N{VULGAR FRACTION THREE EIGHTHS}": 0.375,
    "\N{VULGAR FRACTION FIVE EIGHTHS}": 0.625,
    "\N{VULGAR FRACTION SEVEN EIGHTHS}": 0.875,
    "\N{VULGAR FRACTION ONE THIRD}": 1 / 3,
    "\N{VULGAR FRACTION TWO THIRDS}": 2 / 3,
}
_DENOMINATORS = frozenset((2, 3, 4, 5, 8, 10, 16, 32, 64))
_NO_NUMBER_AFTER = frozenset("_#$\N{POUND SIGN}\N{EURO SIGN}")

_RUN = f"[0-9{''.join(_VULGAR)}]+"
"""Where a number can stand. A search for a set of characters is several times as fast as others."""

_NUMBER = rf"""(?x)(?P<whole>\d{{1,3}})?[ -]?(?P<vulgar>[{"".join(_VULGAR)}])
      | (?:(?P<units>\d{{1,3}})[ -])?(?P<over>\d{{1,2}})/(?P<under>\d{{1,2}})(?![\d/])
      | (?P<grouped>[1-9]\d{{0,2}}(?:,\d\d\d)+(?:\.\d{{1,6}})?)(?![\d,])
      | (?P<comma>\d{{1,3}},\d{{1,3}})(?![\d,]|\.\d)
      | (?P<plain>\d{{1,9}}(?:\.\d{{1,9}})?|\.\d{{1,6}})(?![.,]?\d)"""
_JOIN = r"""(?x)\s*(?:(?P<pm>\N{PLUS-MINUS SIGN}|\+\s?/?\s?-|plus\sor\sminus)
      |(?P<dots>\.\.\.?|\N{HORIZONTAL ELLIPSIS}|~))\s*
      |(?P<dash>\s?[-\N{EN DASH}\N{EM DASH}\N{MINUS SIGN}]\s?)(?=[\d.])
      |\s+(?P<to>(?:up\s|down\s)?to|and|or)\s+"""

_compiled = functools.cache(re.compile)  # when first used: compiling takes longer than importing


class Number(NamedTuple):
    """A number as written.

    Attributes:
        step: half of its last place, 0.0 for fractions and words.
        kind: "whole", "decimal", "fraction" or "word".
    """

    value: float
    step: float
    kind: str
    start: int
    end: int


def numbers(text: str) -> Iterator[Number]:
    """Yield the numbers of `text` in order; none within a word, a code, a date or a price."""
    words = _words(text)
    place = 0
    for run in _compiled(_RUN).finditer(text):
        start = run.start()
        if start < place:
            continue
        place = run.end()
        before = text[start - 2 : start] if start > 1 else text[:start]
        if before[-1:] == "." and not before[:-1].isalnum():
            start, before = start - 1, text[max(0, start - 3) : start - 1]
        if before and not _may_follow(before):
            continue
        found = _at_digit(text, start)
        if found is None:
            continue
        place = found.end
        while words and words[0].start < start:
            yield words.pop(0)
        yield found
    yield from words


def join(text: str, place: int) -> re.Match[str] | None:
    """Return what joins two numbers at `place`.

    Its groups say how: "pm" for a tolerance, "dots", "dash" or "to" for a range.
    """
    return _compiled(_JOIN).match(text, place)


def at(text: str, place: int) -> Number | None:
    """Return the number at `place`, a minus sign right before it included."""
    negative = text[place : place + 1] in ("-", "\N{MINUS SIGN}")
    found = _at_digit(text, place + negative)
    if found is not None and negative:
        return found._replace(value=-found.value, start=place)
    if found is None and text[place : place + 1].isalpha():
        word = text[place : place + 9].partition(" ")[0].partition("-")[0].lower()
        return _at_word(text, place, word) if word in _WORDS else None
    return found


def _may_follow(before: str) -> bool:
    """Say whether a number may start after these two characters."""
    last = before[-1]
    if last.isalnum() or last in _NO_NUMBER_AFTER:
        return False
    return not (last in ".,:/" and before[0].isdigit() and len(before) > 1)


def _at_digit(text: str, start: int) -> Number | None:
    match = _compiled(_NUMBER).match(text, start)
    if match is None:
        return None
    kind, end = match.lastgroup or "", match.end()
    if kind == "vulgar":
        value = float(match["whole"] or 0) + _VULGAR[match[kind]]
        return Number(value, 0.0, "fraction", start, end)
    if kind == "under":
        over, under = int(match["over"]), int(match["under"])
        if under not in _DENOMINATORS or not 0 < over < under:
            return None
        return Number(float(match["units"] or 0) + over / under, 0.0, "fraction", start, end)
    written = match[kind]
    if kind == "grouped":
        written = written.replace(",", "")
    elif kind == "comma":
        if len(written.partition(",")[2]) == 3 and written[0] != "0":
            return None
        written = written.replace(",", ".")
    places = len(written.partition(".")[2])
    shape = "decimal" if places else "whole"
    return Number(float(written), 0.5 * 10.0**-places, shape, start, end)


def _words(text: str) -> list[Number]:
    """Return the numbers written in words; searched word by word, which is fast in C."""
    lower = text.lower()
    if len(lower) != len(text):
        lower = text
    found = []
    for word in _WORDS:
        place = lower.find(word)
        while place >= 0:
            number = _at_word(lower, place, word)
            if number is not None:
                found.append(number)
            place = lower.find(word, place + len(word))
    found.sort(key=lambda number: number.start)
    return found


def _at_word(text: str, start: int, word: str) -> Number | None:
    end = start + len(word)
    if text[end : end + 1] not in (" ", "-", "\n") or (start and text[start - 1].isalnum()):
        return None
    value = _WORDS[word]
    if value < 1.0:
        if word == "quarters" and text[max(0, start - 6) : start] == "three ":
            start -= 6
        elif word == "quarters":
            return None
        for article in _ARTICLES:
            if text.startswith(f"{article} ", end):
                end += len(article)
                break
    elif text.startswith(" and a half ", end):
        value, end = value + 0.5, end + 11
    elif text.startswith(" quarters ", end):
        return None
    return Number(value, 0.0, "word", start, end)
