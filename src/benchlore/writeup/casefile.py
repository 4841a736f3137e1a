"""Where a new case goes: its number, its file, its template for an editor."""

from __future__ import annotations

import datetime
import os
import re
from collections.abc import Iterable, Mapping
from pathlib import Path

from benchlore.errors import NotWritten
from benchlore.index.files import MAX_BYTES
from benchlore.keeping.names import file_stem
from benchlore.keeping.saving import save_new
from benchlore.language.personal import TAKEN_OUT, without_personal_data
from benchlore.notes import read_note
from benchlore.notes.compose import compose
from benchlore.notes.quoting import Value

FOLDER = "kb"
_NAMELESS = "new"
_YEAR = re.compile(r"(?:19|20)\d\d")
_NUMBER = re.compile(r"((?:19|20)\d\d)([-/ .]?)(\d{2,8})")

_TEMPLATE = """\
---
case: {case}
date: {date}
by:
machine: {{make: , model: , year: , engine: , odometer: }}
symptom:
system:
present: []        # when it shows: [cold, above 50 km/h, turning left]
absent: []         # when it does NOT show
where:
codes: []
checks:            # one block each; what is empty is left out
  - check:
    found:
    value:         # 0.14 mm
    limit:         # <= 0.05 mm   or   12.4..12.8 V
    limit_from:
    minutes:
    points_to: []
causes:            # certainty: proved, likely, suspected or unknown
  - {{part: , fault: , certainty: }}
routes:            # chosen: true for the one that was taken
  - {{route: , parts_cost: , labour_hours: , chosen: }}
outcome: {{result: open, date: , after: , comeback: }}
cautions: []
see: []
files: []
---

"""


def template(case: str, today: datetime.date) -> str:
    """A note with every key of the format and nothing in them, to be filled in with an editor."""
    return _TEMPLATE.format(case=case, date=today.isoformat())


def next_case(cases: Iterable[str], today: datetime.date) -> str:
    """The number after the highest of this year's `cases`, written like it: `2026-0148`.

    Empty where the shop's numbers are not a year with a number behind it. In a new year it starts
    again at 1, as wide as the last year's.
    """
    read = [found for case in cases if (found := _NUMBER.fullmatch(case.strip()))]
    if not read:
        return ""
    year = str(today.year)
    this_year = [found for found in read if found[1] == year]
    last = max(this_year or read, key=lambda found: (found[1], int(found[3])))
    number = int(last[3]) + 1 if this_year else 1
    return f"{year}{last[2]}{number:0{len(last[3])}d}"


def folder_for(shop_root: Path, date: str) -> str:
    """The folder of a new case of `date`: the year's where the shop keeps its notes by year."""
    year = date[:4]
    try:
        by_year = any(_YEAR.fullmatch(name) for name in os.listdir(shop_root / FOLDER))
    except OSError:
        by_year = False
    return f"{FOLDER}/{year}" if by_year and _YEAR.fullmatch(year) else FOLDER


def save_case(shop_root: Path, fields: Mapping[str, Value], body: str) -> str:
    """Save a new case and return its path below the shop.

    The file is named by its case number and symptom, never by its cause: whoever practises on old
    cases sees it.

    Raises:
        NotWritten: nothing was written.
    """
    return save_file(shop_root, compose(fields, body))


def save_file(shop_root: Path, data: bytes) -> str:
    """Save `data`, a whole note, byte for byte, named as `save_case` names it.

    Raises:
        NotWritten: nothing was written.
        NotText: it is no text.
    """
    refuse_too_large(data)
    note = read_note(f"{FOLDER}/{_NAMELESS}.md", data)
    case = "" if note.case == _NAMELESS else note.case
    symptom = note.symptom.text if note.symptom else note.title
    folder = folder_for(shop_root, note.date)
    # A name is seen where the note is not: in lists, in backups, in mails.
    named = without_personal_data(f"{case} {symptom}").replace(TAKEN_OUT, " ")
    return save_new(shop_root, folder, file_stem(named), data)


def refuse_too_large(data: bytes) -> None:
    """Raise NotWritten for a note of which a search would see the beginning only."""
    if len(data) > MAX_BYTES:
        raise NotWritten(
            f"not saved: larger than {MAX_BYTES // 1024} kB, of which the rest is never searched",
            "put long texts into a file and list it under files",
        )
