"""Text to tokens: small words, numbers and stops with their places in the text."""

from __future__ import annotations

import re
from dataclasses import dataclass

MAX_TEXT = 20_000
"""Characters of one text that are read for conditions."""

_TOKEN = re.compile(
    r"""
      (?P<ordinal>\d+(?:[sS][tT]|[nNrR][dD]|[tT][hH])(?![a-zA-Z]))
    | (?P<number>\d{1,3}(?:,\d{3})+(?!\d)|\d+(?:\.\d+)?)
    | (?P<short>[a-zA-Z](?:\.[a-zA-Z])+(?:\.(?=\W|$)|(?![a-zA-Z]))
        |[a-zA-Z]/[a-zA-Z]{1,8}(?:/[a-zA-Z]+)*|[a-zA-Z]{2,3}/[a-zA-Z]{1,2}(?![a-zA-Z])
        |[a-zA-Z]&[a-zA-Z](?![a-zA-Z])|[wW]/(?=[\s\d]))
    | (?P<word>[^\W\d_][^\W_]*(?:['\N{RIGHT SINGLE QUOTATION MARK}][^\W_]+)*)
    | (?P<sentence>[.!?]+(?=["')\]]*(?:\s|$))|\n\s*(?=\n|[-*\#>|]))
    | (?P<clause>[,;:()\[\]|]|\.\.\.+|(?<=\s)[-\N{EN DASH}\N{EM DASH}]+(?=\s)
        |\N{EM DASH}|\N{HORIZONTAL ELLIPSIS})
    | (?P<sign>>=|<=|[<>~+&%=@\#\N{DEGREE SIGN}])
    """,
    re.X,  # not re.I: with it, compiling this takes twice as long (3 ms of every search)
)
_APOSTROPHE = re.compile("['\N{RIGHT SINGLE QUOTATION MARK}]")
_SIGNS = {"\N{DEGREE SIGN}": "deg", "@": "at"}


@dataclass(slots=True)
class Token:
    """One word, number or stop.

    Attributes:
        text: lower case, no apostrophes; a stop's own character.
        kind: "word", "number", "sentence" or "clause".
        start, end: offsets in the text, end excluded.
        value: a number's value (a minus sign included), else 0.
    """

    text: str
    kind: str
    start: int
    end: int
    value: float = 0.0


def scan(text: str) -> list[Token]:
    """Return the tokens of `text`; anything that is none of these is passed over."""
    text = text[:MAX_TEXT]
    tokens: list[Token] = []
    for match in _TOKEN.finditer(text):
        kind = match.lastgroup or ""
        raw, (start, end) = match.group(), match.span()
        if kind == "word" and raw.isascii() and "'" not in raw:
            tokens.append(Token(raw.lower(), kind, start, end))
        elif kind == "number":
            value = float(raw.replace(",", ""))
            before = text[max(0, start - 2) : start]
            if before[-1:] in ("-", "\N{MINUS SIGN}") and not before[:-1].strip(" (<>=~"):
                value, start = -value, start - 1
            tokens.append(Token(raw, kind, start, end, value))
        elif kind in ("sentence", "clause"):
            tokens.append(Token(raw.strip()[:1] or "\n", kind, start, end))
        else:
            tokens.append(Token(_folded(raw, kind), "word", start, end))
    return tokens


def _folded(raw: str, kind: str) -> str:
    word = _APOSTROPHE.sub("", raw.lower()) if not raw.isascii() or "'" in raw else raw.lower()
    if kind == "short" and "." in word:
        word = word.strip(".").replace(".", "/")
    return _SIGNS.get(word, word)
