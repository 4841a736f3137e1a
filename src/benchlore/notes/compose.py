"""A new note's file from its fields, laid out as the format's own examples are."""

from __future__ import annotations

from collections.abc import Mapping

from benchlore.notes.frontmatter import read_front_matter
from benchlore.notes.lines import LineIndex
from benchlore.notes.quoting import Renderer, Value

FENCE = "---\n"

ORDER = (
    "case",
    "date",
    "by",
    "machine",
    "title",
    "symptom",
    "system",
    "covers",
    "present",
    "absent",
    "where",
    "codes",
    "checks",
    "causes",
    "routes",
    "outcome",
    "cautions",
    "see",
    "files",
)
"""The keys of the format in the order in which a note gives them."""


def filled(value: Value) -> Value:
    """`value` without blank texts and what holds nothing else; texts without outer white space."""
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, list):
        return [kept for item in value if (kept := filled(item))]
    return {name: kept for name, item in value.items() if (kept := filled(item))}


def compose(fields: Mapping[str, Value], body: str = "") -> bytes:
    """Return the file of a new note, UTF-8 with `\\n` at its line ends.

    Args:
        fields: front matter by key. Empty values are left out; the keys of `ORDER` come first, in
            that order, all others behind them as given.
        body: what stands below the front matter.

    Without any field the file is the body alone, below empty front matter where it would otherwise
    be read as some.
    """
    kept = filled(dict(fields))
    assert isinstance(kept, dict)
    ordered = {key: kept[key] for key in ORDER if key in kept}
    ordered.update({key: value for key, value in kept.items() if key not in ordered})
    text = body.replace("\r\n", "\n").replace("\r", "\n").strip("\n")
    text = f"{text}\n" if text.strip() else ""
    if not ordered:
        looks_alike = read_front_matter(text, LineIndex(text)).inner is not None
        return ((FENCE + FENCE if looks_alike else "") + text).encode("utf-8", "replace")
    lines = Renderer(frozenset()).lines(ordered, 0)
    head = FENCE + "".join(f"{line}\n" for line in lines) + FENCE
    return (head + text).encode("utf-8", "replace")
