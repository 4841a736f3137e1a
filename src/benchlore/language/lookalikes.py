"""Characters that look like a plain letter or digit, as they get into codes by a foreign keyboard.

Only codes, part numbers and sizes are compared with them put right; what is written stays.
"""

from __future__ import annotations

import re

_GREEK = str.maketrans("ΑΒΕΖΗΙΚΜΝΟΡΤΥΧο", "ABEZHIKMNOPTYXo")  # noqa: RUF001
_CYRILLIC = str.maketrans("АВЕЅІЈКМНОРСТУХаеѕіјорсух", "ABESIJKMHOPCTYXaesijopcyx")  # noqa: RUF001
_FULL_WIDTH = {0xFF00 + code: 0x20 + code for code in range(1, 0x5F)}
_HYPHENS: dict[int, int | str] = dict.fromkeys(map(ord, "\u2010\u2011"), "-")
_PLAIN = {**_GREEK, **_CYRILLIC, **_FULL_WIDTH, **_HYPHENS}
"""Pairs of the Unicode consortium's list of confusable characters (UTS 39; from memory), one
character for one, so that places in a text stay."""

_SHORTEST, _FEWEST_DIGITS = 4, 2
_RUN = re.compile(r"[^\W_]+(?:[-./][^\W_]+)*")


def plain(text: str) -> str:
    """`text` with characters that look like ASCII letters, digits and signs replaced by these."""
    return text if text.isascii() else text.translate(_PLAIN)


def look_alikes(text: str) -> list[tuple[str, str]]:
    """The codes in `text` that are written with look-alikes: (as written, as meant).

    A code here is a run of four or more letters and digits, at least two of them digits, that is
    plain ASCII once it is put right and was not before: a word of another script stays what it is.
    """
    found: dict[str, str] = {}
    for run in [] if text.isascii() else _RUN.findall(text):
        meant = plain(run)
        if run.isascii() or not meant.isascii() or len(run) < _SHORTEST:
            continue
        if sum(map(str.isdigit, meant)) >= _FEWEST_DIGITS:
            found[run] = meant
    return list(found.items())
