"""Measured values in a text: any unit of the trade, as ranges in one base unit a dimension.

`read_quantities` finds them, `near` compares two, `keys_of_note` and `keys_of_query` let an index
find candidates without comparing all. A code, part number, tyre or thread size, date, year, time of
day, case number or price is no measured value.

Nor is a number without a unit, with one exception: a decimal or fraction right beside a word of
measurement ("0.14 play", "runout 0.05"). Its unit cannot be known, so it has no dimension and is
compared as the number that was written: it agrees with "0.14 mm" and with "0.14", not with the same
length in thou.

Where the trade is not of one mind: "deg" is an angle unless words of heat stand with it; "pounds"
is pressure with words of pressure, a weight with words of weight, else money; pints and gallons are
British and quarts American unless the text says; "mil" is a thousandth of an inch; metres are
lengths, yards distances; vacuum is a pressure. Months and years are ages and not read.
"""

from __future__ import annotations

import importlib

from benchlore.language.quantities.model import Quantity
from benchlore.language.quantities.nearness import keys_of_note, keys_of_query, near

__all__ = ["Quantity", "keys_of_note", "keys_of_query", "near", "read_quantities"]

MAX_TEXT = 20_000
"""Characters of one text that are read."""


def read_quantities(text: str) -> tuple[Quantity, ...]:
    """Return the measured values of `text` in order; they do not overlap.

    Only the first `MAX_TEXT` characters are read. Nothing is raised, whatever the text is.
    """
    # The units and patterns are loaded by the first text that is read: comparing needs neither.
    reader = importlib.import_module("benchlore.language.quantities.reader")
    found: tuple[Quantity, ...] = reader.read(text[:MAX_TEXT])
    return found
