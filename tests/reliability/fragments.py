"""Pieces that readers are fuzzed with: the trade's own words between the marks of each language.

Random characters find nothing in a parser; these do.
"""

from __future__ import annotations

import random
from collections.abc import Sequence

YAML = (
    "symptom", "checks", "check", "cautions", "machine", "outcome", "date", "codes", "format",
    "by", "see",
    "hum from the rear", "above 50 km/h", "0.14 mm", ">= 1.0 bar", "<= 0.05 mm", "12.4..12.8 V",
    "P0301",
    "2025-02-30", "0147", "NO", "12:30", "~", "1e999", "٣", "5 °C", "€", "😀", "stands: under",
    ": ", ":", ":\n", ":\n  ", ":\n  - ", "\n", "\n\n", "\n  ", "\n    ", "\n- ", "\n  - ",
    "\r\n", "\r", "\t",
    "\n\t", "[", "]", "{", "}", ", ", ",", "'", '"', "#", " #", "- ", "? ", "| ", "|\n  ", "> ",
    ">\n  ", "|+\n",
    "&a ", "*a", "!", "!!int ", "<<: ", "@", "%", "`", "\\", "\\x41", "\\ud800", "---",
    "\n---\n", "\n...\n",
    "--- ", "\n%YAML 1.2\n", "=", "\0", "\x07", "\x1b", "\x7f", "\x85", "\u2028", "\ufeff",
    "\U000f0000",
    "# ", "\n# ", "\n## Complaint\n", "](", "**", "<b>",
)  # fmt: skip

TRADE = (
    "rattles", "hums", "only", "when", "not", "never", "cold", "hot", "warm", "first thing",
    "clears", "until", "after 10 minutes", "at idle", "over 3000 rpm", "1k-2k", "above 50 km/h",
    "between", "and", "or", "but", "gone", "fine", "worse", "better", "loaded", "towing",
    "on the overrun", "lifting off", "turning left", "L/H", "o/s/f", "n/s", "uphill", "in third",
    "clutch down", "in the rain", "with the a/c on", "customer says", "no change", "used to",
    "since", "it", "the", "from the rear", "whl brg", "play at the hub", "0.14 mm", "30 thou",
    "5.5 bar", "\u2264", "\u00b1", "\u00bd", "\u0663", "5 \u2126", "\u22125 \u00b0C", "P0301",
    "\u04200301", "HD22", "205/55 R16", "(", ")", "((", "/", "//", "-", "--", ",", ", ", ".", "...",
    ";", ":", "?", "!", "\n", "\n\n", "## Complaint\n", "## What we did\n", "\t", " ", "  ", "'",
    '"', "\0", "\x1b[31m", "\u202e", "\u0301", "\ud800", "\U0001f527", "9" * 40, "0" * 400, "1e999",
    "x" * 300, "un", "anti", "non-", "n't", "cannot", "without", "unless", "except",
)  # fmt: skip

ENCODINGS = ("utf-8", "utf-8", "utf-8", "utf-8-sig", "utf-16", "utf-32", "cp1252")


def soup(chance: random.Random, fragments: Sequence[str], most: int, between: str = "") -> str:
    """Up to `most` fragments in a row."""
    return between.join(chance.choices(fragments, k=chance.randint(0, most)))


def note_file(chance: random.Random) -> bytes:
    """A file that is almost a note, in any encoding."""
    text = soup(chance, YAML, 24)
    shape = chance.randrange(3)
    if shape:
        first = "by: KM\n" if shape == 2 else ""
        text = f"---\n{first}{text}\n---\nbody"
    return text.encode(chance.choice(ENCODINGS), "replace")


def sentence(chance: random.Random) -> str:
    """What a technician might type on a bad day."""
    return soup(chance, TRADE, 30, chance.choice((" ", " ", "")))
