"""Where text from a note, a file name or an error becomes text for a screen.

Everything benchlore shows passes through `shown` (or `shown_line`) once. Terminals act on control
characters, and bidirectional marks can make a line read as something it is not; neither Rich nor
Textual takes them out. They are made visible instead of being dropped, so that nothing vanishes.
"""

from __future__ import annotations

import re
import unicodedata

MAX_COMBINING = 8
"""Marks kept on one letter; more would paint over the neighbouring lines."""

_TAB = "    "
_HARMLESS = re.compile(r"[ -~\n]*\Z")


def _mark(char: str) -> str:
    """The visible stand-in for one character that must not reach a terminal."""
    code = ord(char)
    if code < 0x20:
        return chr(0x2400 + code)
    if code == 0x7F:
        return "\N{SYMBOL FOR DELETE}"
    if 0xDC80 <= code <= 0xDCFF:  # a byte that is not UTF-8, as Python lists file names
        return f"\\x{code - 0xDC00:02x}"
    return f"<U+{code:04X}>"


def shown(text: str) -> str:
    """Return `text` with nothing in it that a terminal would act on.

    Line feeds stay; tabs become four spaces; CR LF and CR become line feeds; every other character
    of the Unicode categories Cc, Cf, Cs, Co, Zl and Zp becomes a visible mark. At most
    `MAX_COMBINING` combining marks are kept in a row.
    """
    if _HARMLESS.match(text):
        return text
    out: list[str] = []
    marks = 0
    for char in text.replace("\r\n", "\n").replace("\r", "\n"):
        category = unicodedata.category(char)
        if category in ("Mn", "Me"):
            marks += 1
            if marks <= MAX_COMBINING:
                out.append(char)
            continue
        marks = 0
        if char == "\n":
            out.append(char)
        elif char == "\t":
            out.append(_TAB)
        elif category in ("Cc", "Cf", "Cs", "Co", "Zl", "Zp"):
            out.append(_mark(char))
        else:
            out.append(char)
    return "".join(out)


def shown_line(text: str) -> str:
    """Like `shown`, on one line: every run of white space becomes one space."""
    return " ".join(shown(text).split())


_PLAIN = {
    "\N{LESS-THAN OR EQUAL TO}": "<=",
    "\N{GREATER-THAN OR EQUAL TO}": ">=",
    "\N{NOT EQUAL TO}": "!=",
    "\N{PLUS-MINUS SIGN}": "+/-",
    "\N{DEGREE SIGN}": " deg ",
    "\N{OHM SIGN}": "ohm",
    "\N{GREEK CAPITAL LETTER OMEGA}": "ohm",
    "\N{MICRO SIGN}": "u",
    "\N{GREEK SMALL LETTER MU}": "u",
    "\N{MULTIPLICATION SIGN}": "x",
    "\N{MIDDLE DOT}": ".",
    "\N{BULLET}": "*",
    "\N{EN DASH}": "-",
    "\N{EM DASH}": "-",
    "\N{MINUS SIGN}": "-",
    "\N{HORIZONTAL ELLIPSIS}": "...",
    "\N{LEFT SINGLE QUOTATION MARK}": "'",
    "\N{RIGHT SINGLE QUOTATION MARK}": "'",
    "\N{LEFT DOUBLE QUOTATION MARK}": '"',
    "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
    "\N{POUND SIGN}": "GBP ",
    "\N{EURO SIGN}": "EUR ",
    "\N{VULGAR FRACTION ONE HALF}": "1/2",
    "\N{VULGAR FRACTION ONE QUARTER}": "1/4",
    "\N{VULGAR FRACTION THREE QUARTERS}": "3/4",
    "\N{SUPERSCRIPT TWO}": "^2",
    "\N{RIGHTWARDS ARROW}": "->",
    "\N{FULL BLOCK}": "#",
    "\N{LIGHT SHADE}": ".",
}


def encodable(text: str, encoding: str) -> str:
    """Return `text` with every character that `encoding` lacks written in plain letters.

    Signs that carry meaning in the trade get their usual spelling (`<=`, `ohm`); accents are taken
    off; what is left over becomes `<U+XXXX>`. Never raises for an unknown character; an unknown
    `encoding` is treated as ASCII.
    """
    try:
        text.encode(encoding)
        return text
    except UnicodeEncodeError:
        pass
    except LookupError:
        encoding = "ascii"
    out: list[str] = []
    for char in text:
        try:
            char.encode(encoding)
            out.append(char)
            continue
        except UnicodeEncodeError:
            pass
        plain = _PLAIN.get(char)
        if plain is None and 0x2400 <= ord(char) <= 0x2421:
            plain = f"<{unicodedata.name(char).removeprefix('SYMBOL FOR ')}>"
        if plain is None:
            base = unicodedata.normalize("NFD", char)[0]
            plain = base if base.isascii() else f"<U+{ord(char):04X}>"
        out.append(plain)
    return "".join(out)
