"""Words as they are compared: folded to lower case, without accents, cut to their stem."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from Stemmer import Stemmer

MAX_WORD = 40
"""Longer runs of letters are not words; they are left out of word search."""

_WORD = re.compile(r"[^\W_]+(?:['\N{RIGHT SINGLE QUOTATION MARK}][^\W_]+)*")
_APOSTROPHE = re.compile("['\N{RIGHT SINGLE QUOTATION MARK}]")
_STEMMER = Stemmer("english", 0)  # 0: `_stem` keeps the stems

_STOP = """
a an and are as at be been but by can for from had has have he her his i if in into is it its of on
or our she so that the their them then there these they this to up was we were which while will with
would you your
"""
STOP_WORDS = frozenset(_STOP.split())
"""Words that tell no two notes apart. Words of polarity and condition (no, not, only, when, until,
off, out, over, under) are not among them."""


@lru_cache(maxsize=50_000)
def _stem(word: str) -> str:
    return str(_STEMMER.stemWord(word))


def _without_accents(text: str) -> str:
    if text.isascii():
        return text
    decomposed = unicodedata.normalize("NFD", text)
    return "".join(char for char in decomposed if not unicodedata.combining(char))


def fold(text: str) -> list[str]:
    """Return the words of `text` in order, lower case, without accents, stemmed, stop words out.

    The stemmer is Snowball's English one (Porter, "Snowball: a language for stemming algorithms",
    2001), compiled to C: the one compiled to Python takes 0.03 s to import. Any text is accepted;
    the words hold letters and digits only.
    """
    found = []
    for match in _WORD.finditer(_without_accents(text).casefold()):
        word = _APOSTROPHE.sub("", match.group())
        if len(word) <= MAX_WORD and word not in STOP_WORDS:
            found.append(_stem(word))
    return found
