"""File names that are good on every system."""

from __future__ import annotations

import re
import unicodedata

MAX_BYTES = 80
"""Bytes of a name in UTF-8, its ending among them."""

NOTE_ENDING = ".md"
_UNNAMED = "note"
_NO_WORD = re.compile(r"[\W_]+")
_DEVICES = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])(-|\Z)")
"""Names that Windows keeps for devices, with any ending (its documentation on naming files)."""


def file_stem(*texts: str) -> str:
    """A name made of the words of `texts`, without an ending.

    Letters and digits in lower case with `-` between words, Unicode NFC, short enough for
    `MAX_BYTES` together with `NOTE_ENDING` and a number behind it; never empty, never one that a
    system keeps for itself.
    """
    words = unicodedata.normalize("NFC", " ".join(texts)).casefold()
    words = unicodedata.normalize("NFC", words).encode("utf-8", "ignore").decode()
    stem = _NO_WORD.sub("-", words).strip("-")
    if _DEVICES.match(stem):
        stem = f"{_UNNAMED}-{stem}"
    room = MAX_BYTES - len(NOTE_ENDING) - len("-999")
    return _cut(stem, room) or _UNNAMED


def _cut(stem: str, room: int) -> str:
    """`stem` in at most `room` bytes, cut between words where that keeps half of it."""
    data = stem.encode()
    if len(data) <= room:
        return stem
    cut = data[:room].decode("utf-8", "ignore")
    whole = cut.rpartition("-")[0]
    return (whole if len(whole) > len(cut) // 2 else cut).strip("-")


def same_name(name: str) -> str:
    """What two names have in common that some file systems hold for one: NFC, any case."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name).casefold())
