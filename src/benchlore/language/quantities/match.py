"""Which unit stands behind a number, however it is spelled."""

from __future__ import annotations

import functools
import re

from benchlore.language.quantities import context as context
from benchlore.language.quantities import units as units
from benchlore.language.quantities.scan import Number
from benchlore.language.quantities.units import Unit

_DEGREE = "\N{DEGREE SIGN}\N{MASCULINE ORDINAL INDICATOR}"
_QUOTES = '"\N{RIGHT DOUBLE QUOTATION MARK}\N{DOUBLE PRIME}'
_POWERS = "23\N{SUPERSCRIPT TWO}\N{SUPERSCRIPT THREE}"
_WORD = (
    rf"[{_DEGREE}](?:\s?[CcFf](?![^\W_]))?|[%{_QUOTES}]"
    rf"|(?:100\s?km|[^\W\d_{_DEGREE}]+(?:[{_POWERS}]|-1|2[oO])?)(?![^\W_])"
)
_GLUE = r"\s?/\s?|\.\s|[\s.*\N{MIDDLE DOT}-]"
_compiled = functools.cache(re.compile)  # when first used: compiling takes longer than importing
_FOLDED = str.maketrans(
    {
        **dict(zip(_POWERS[2:], "23", strict=True)),
        **dict.fromkeys("\N{MICRO SIGN}\N{GREEK SMALL LETTER MU}", "u"),
        **dict.fromkeys("\N{OHM SIGN}\N{GREEK CAPITAL LETTER OMEGA}", "ohm"),
        **dict.fromkeys(_DEGREE, "deg"),
        **dict.fromkeys(_QUOTES, "inchmark"),
        "\n": " ",
    }
)


def unit_at(text: str, number: Number) -> tuple[Unit, int] | None:
    """Return the unit right behind `number` and where its spelling ends; None without one."""
    word, glued = _compiled(_WORD), _compiled(_GLUE)
    start = _start(text, number.end)
    match = word.match(text, start)
    if match is None:
        return None
    written = _folded(match[0])
    spellings = [(written, match.end())]
    while written.lower() in units.BEGINNINGS:
        end = spellings[-1][1]
        glue = glued.match(text, end)
        match = word.match(text, glue.end() if glue else end)
        if match is None:
            break
        written += ("/" if glue and "/" in glue[0] else " ") + _folded(match[0])
        spellings.append((written, match.end()))
    for spelling, end in reversed(spellings):
        unit = units.EXACT.get(spelling) or units.SPELLINGS.get(spelling.lower())
        if unit is None:
            continue
        if text[end : end + 1] == ":" and "\n" in text[number.end : start]:
            continue  # the next line's key: "below 40 / minutes: 10"
        found = context.meant(context.Place(text, start, end, number), unit)
        if found is not None:
            return found, end
    return None


def _start(text: str, end: int) -> int:
    """Return where a unit behind a number that ends at `end` would start: one line end at most."""
    gap = text[end : end + 3]
    if gap[:1] == "-":
        return end + 1 if gap[1:].isalpha() or gap[1:] in ("V", "V ") else end
    size = len(gap) - len(gap.lstrip())
    return end if size == 3 or gap[:size].count("\n") > 1 else end + size


def _folded(word: str) -> str:
    return word if word.isascii() and word != '"' else word.translate(_FOLDED).replace(" ", "")
