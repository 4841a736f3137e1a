"""Personal data in a text: a job brief may go to another customer, a note to another workshop.

VINs, telephone numbers, e-mail addresses, UK registration plates and names behind "Mr", "customer"
and the like: common practice, no source. Better a word too many taken out than a name left in.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from benchlore.language.vin import has_check_digit

Kind = Literal["VIN", "VIN-like", "phone", "phone-like", "e-mail", "plate", "name"]

SURE: frozenset[Kind] = frozenset({"VIN", "phone", "e-mail"})
"""Kinds that nothing else looks like: a VIN with its check digit, a telephone number with its
country code or behind a word such as "ring"."""

TAKEN_OUT = "[taken out]"


@dataclass(frozen=True, slots=True)
class Personal:
    """Something that may name or reach a person: `text[start:end]` of the text that was read."""

    kind: Kind
    start: int
    end: int


_VIN = "[A-HJ-NPR-Z0-9]"
_PATTERNS: tuple[tuple[Kind, re.Pattern[str]], ...] = (
    ("e-mail", re.compile(r"(?<![\w.+-])[\w.+-]+@[\w-]+(?:\.[\w-]+)+")),
    (
        "VIN-like",
        re.compile(rf"(?<![A-Z0-9])(?={_VIN}*[0-9])(?={_VIN}*[A-Z]){_VIN}{{17}}(?![A-Z0-9])", re.I),
    ),
    (
        "phone-like",
        re.compile(
            r"(?<![\d.])(?:\+\d{1,3}[ -]?)?(?:\(\d{2,5}\)|0\d{2,4})[ -]?\d{3,4}[ -]?\d{3,4}"
            r"(?![\d.]?\d)"
        ),
    ),
    ("phone", re.compile(r"(?<![\d.])\+\d{1,3}(?:[ -]?\d{2,4}){2,4}(?![\d.]?\d)")),
    ("plate", re.compile(r"(?<![A-Z0-9])[A-Z]{2}[0-9]{2} ?[A-Z]{3}(?![A-Z0-9])")),
)
_CALLING = re.compile(
    r"\b(?:tel(?:ephone)?|phone|phoned|mobile|mob|call|called|ring|rang|text|whatsapp|fax)\b\W*"
    r"(?:\w+\W+){0,3}\Z",
    re.I,
)
_BEFORE = 40
"""Characters before a number in which a word says that it is for calling somebody."""

_NAMED = re.compile(
    r"\b((?:Mr|Mrs|Ms|Miss|Dr|Rev)\.?"
    r"|(?:[Cc]ustomer|[Oo]wner|[Dd]river|[Cc]lient|[Ff]armer)(?:'s name)?(?: is| was|:)?)"
    r"( +(?:[A-Z][a-z]+(?:-[A-Z][a-z]+)?)(?: +[A-Z][a-z]+)?)"
)
_NO_NAME = """
a advised airbag approved asked brought came complained complains complaint concern copy declined
did display does door drives drove had has he heard hears information is it manual no not notes
notices reported reports request said says seat service she side stated states support the they
thinks wants was will window would yes
"""
_NO_NAMES = frozenset(_NO_NAME.split())
"""What stands with a capital behind "customer" or "driver" and is no name."""


def find_personal(text: str) -> tuple[Personal, ...]:
    """Return what in `text` may name or reach a person, in order, without overlaps.

    What overlaps is one find, of the kind that starts first, down to where the last of it ends.
    """
    found = [
        Personal(_kind(kind, text, *match.span()), *match.span())
        for kind, pattern in _PATTERNS
        for match in pattern.finditer(text)
    ]
    found += _names(text)
    apart: list[Personal] = []
    for each in sorted(found, key=lambda personal: personal.start):
        if apart and each.start < apart[-1].end:
            apart[-1] = replace(apart[-1], end=max(each.end, apart[-1].end))
        else:
            apart.append(each)
    return tuple(apart)


def without_personal_data(text: str) -> str:
    """Return `text` with what may name or reach a person replaced by `TAKEN_OUT`."""
    kept, last = [], 0
    for personal in find_personal(text):
        kept.append(text[last : personal.start])
        last = personal.end
    return TAKEN_OUT.join([*kept, text[last:]])


def _kind(kind: Kind, text: str, start: int, end: int) -> Kind:
    """The kind of a match, looked at closely."""
    if kind == "VIN-like" and has_check_digit(text[start:end]):
        return "VIN"
    if kind == "phone-like":
        called = text[start] == "+" or _CALLING.search(text[max(0, start - _BEFORE) : start])
        return "phone" if called else "phone-like"
    return kind


def _names(text: str) -> Iterator[Personal]:
    for match in _NAMED.finditer(text):
        if match[2].split()[0].lower() not in _NO_NAMES:
            start = match.start(2) + len(match[2]) - len(match[2].lstrip())
            yield Personal("name", start, match.end(2))
