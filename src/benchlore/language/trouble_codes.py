"""Trouble codes in the form of SAE J2012 / ISO 15031-6, and those that are nearly such a code.

A code is a letter for the system (P, B, C, U), a digit 0 to 3, three hexadecimal digits, and a
failure type byte behind a dash where there is one: P0301, U0100-87. A maker's own codes may have
any other form. Only what was plainly meant to be of this form and is not can be named.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

_SOUND = re.compile(r"[PBCU][0-3][0-9A-F]{3}(?:-[0-9A-F]{2})?")
_FIRST = re.compile(r"[^\s,;(\[]+")
_SHAPE = re.compile(r"([A-Z])([0-9A-Z]+)((?:-[0-9A-Z]{2})?)")
_DIGITS = str.maketrans("OIL", "011")
_HEX = re.compile(r"[0-9A-F]+")
_LEAST, _MOST = 3, 5
"""Characters behind the letter of what is taken for a code with one too few or too many."""

_LOOK_ALIKE = str.maketrans(
    "\N{CYRILLIC CAPITAL LETTER ER}\N{CYRILLIC SMALL LETTER ER}\N{GREEK CAPITAL LETTER RHO}"
    "\N{CYRILLIC CAPITAL LETTER VE}\N{GREEK CAPITAL LETTER BETA}"
    "\N{CYRILLIC CAPITAL LETTER ES}\N{CYRILLIC SMALL LETTER ES}"
    "\N{CYRILLIC CAPITAL LETTER O}\N{CYRILLIC SMALL LETTER O}\N{GREEK CAPITAL LETTER OMICRON}"
    "\N{CYRILLIC CAPITAL LETTER A}\N{CYRILLIC SMALL LETTER A}\N{GREEK CAPITAL LETTER ALPHA}"
    "\N{CYRILLIC CAPITAL LETTER IE}\N{CYRILLIC SMALL LETTER IE}\N{GREEK CAPITAL LETTER EPSILON}"
    "\N{CYRILLIC CAPITAL LETTER BYELORUSSIAN-UKRAINIAN I}\N{GREEK CAPITAL LETTER IOTA}"
    "\N{NON-BREAKING HYPHEN}\N{HYPHEN}\N{EN DASH}\N{MINUS SIGN}",
    "PPPBBCCOOOAAAEEEII----",
)
"""Letters of other alphabets that look like those of a code."""


@dataclass(frozen=True, slots=True)
class CodeTrouble:
    """What is wrong with a trouble code.

    Attributes:
        start, end: where the code stands in the text that was read.
        what: what is wrong, in words.
        meant: the code that was certainly meant, "" where that cannot be told.
        todo: what to do where `meant` is empty.
    """

    start: int
    end: int
    what: str
    meant: str = ""
    todo: str = ""


def code_trouble(text: str) -> CodeTrouble | None:
    """Say what is wrong with the code that `text` begins with; None where nothing is.

    Words behind the code ("P0301 pending") are not looked at.
    """
    found = _FIRST.search(text)
    if found is None:
        return None
    written = found.group().rstrip(".:")
    if _SOUND.fullmatch(written):
        return None
    start, end = found.start(), found.start() + len(written)
    plain = unicodedata.normalize("NFKC", written).translate(_LOOK_ALIKE)
    shape = _SHAPE.fullmatch(plain.upper())
    if shape is None:
        return None
    letter, digits, kind = shape[1], shape[2].translate(_DIGITS), shape[3].translate(_DIGITS)
    code = letter + digits + kind
    if _SOUND.fullmatch(code) and _was_meant(shape[2], plain.isupper() or plain != written):
        return CodeTrouble(start, end, _how(written, plain, shape[2] + shape[3]), code)
    wrong = _wrong_form(letter, digits, shape[2])
    return CodeTrouble(start, end, f"'{written}' {wrong[0]}", "", wrong[1]) if wrong else None


def _was_meant(digits: str, capitals: bool) -> bool:
    """Say whether a run of `digits` is one: "cold" is a word, though it could be read as C010D."""
    return any(map(str.isdigit, digits)) and (capitals or sum(map(str.isdigit, digits)) > 1)


def _how(written: str, plain: str, digits: str) -> str:
    if not written.isascii():
        return f"'{written}' has letters of another alphabet that only look right"
    if any(letter in "OIL" for letter in digits):
        return f"'{written}' has a letter in the place of a digit"
    return f"'{written}' is written in small letters"


def _wrong_form(letter: str, digits: str, written: str) -> tuple[str, str] | None:
    """What is wrong with the form of a code of hexadecimal digits, and what to do."""
    count = sum(map(str.isdigit, written))
    if not _HEX.fullmatch(digits) or not _LEAST <= len(digits) <= _MOST or count < _LEAST - 1:
        return None
    own = "look it up again; put the maker's name before it if it is the maker's own"
    if letter not in "PBCU":
        if len(digits) != 4 or digits[0] not in "0123":
            return None
        return "begins with none of the letters P, B, C, U of a trouble code", own
    if len(digits) != 4 and digits[0] not in "0123":
        return None  # "BD16" is a name
    if len(digits) != 4:
        return f"has {len(digits)} characters behind its letter, a trouble code has 4", own
    return f"has {digits[0]} behind its letter, a trouble code has 0 to 3 there", own
