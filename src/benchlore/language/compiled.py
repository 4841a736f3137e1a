"""The vocabulary in a form that loads in 3 ms instead of 130 ms: `vocabulary.compiled`.

The file is made from the data files by `python -m benchlore.language.compiling` and never edited.
Its first line holds the SHA-256 of the data files it was made from and of the rest of itself: a
file that does not fit both is not used, and the data files are read as they are.

After that come tables, a blank line between them: the table's name, then a key, a tab and a value
in each line. The values are JSON texts or words; most of them are never looked at.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from pathlib import Path

FILE = "vocabulary.compiled"

Tables = Mapping[str, Mapping[str, str]]


def digest(texts: Iterable[bytes]) -> str:
    """Return the SHA-256 of several texts, hexadecimal; their lengths count as well."""
    whole = hashlib.sha256()
    for text in texts:
        whole.update(b"%d\n" % len(text))
        whole.update(text)
    return whole.hexdigest()


def written(tables: Tables, made_from: str) -> bytes:
    """Return the file that holds `tables`, made from the data files with that SHA-256."""
    blocks = (
        "\n".join([name, *(f"{key}\t{value}" for key, value in table.items())])
        for name, table in tables.items()
    )
    body = "\n\n".join(blocks).encode("utf-8")
    return f"{made_from} {digest([body])}\n".encode("ascii") + body


def read(path: Path, made_from: str) -> Tables | None:
    """Return the tables of a file, None where it is missing, damaged or made from other files."""
    try:
        head, _, body = path.read_bytes().partition(b"\n")
    except OSError:
        return None
    if head != f"{made_from} {digest([body])}".encode("ascii"):
        return None
    tables = {}
    for block in body.decode("utf-8").split("\n\n"):
        name, *lines = block.split("\n")
        tables[name] = dict(line.split("\t", 1) for line in lines)
    return tables
