"""A shop's own words: what of `[vocabulary]` in shop.toml can be used, and what is wrong in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from benchlore.language.axes import AXES
from benchlore.language.phrases import first_words
from benchlore.language.vocabulary import shipped

LONGEST_KEY = 40
"""Characters of a key that a message shows."""

KEYS = ("words", "conditions")


def checked_section(section: object) -> tuple[dict[str, Any], tuple[str, ...]]:
    """Return the usable part of a shop's section, and one line for each thing passed over.

    The first is what `Vocabulary.with_shop` takes: `words` (text to text) and `conditions` (axis,
    value, list of phrases), either only where something is in it. A line begins with the key.
    """
    if not isinstance(section, Mapping):
        return {}, ("vocabulary must be a section [vocabulary]; passed over",)
    problems = [
        f"{_at(key)} is not known there ({', '.join(KEYS)}); passed over"
        for key in section
        if key not in KEYS
    ]
    usable = {
        "words": _words(section.get("words", {}), problems),
        "conditions": _conditions(section.get("conditions", {}), problems),
    }
    return {name: part for name, part in usable.items() if part}, tuple(problems)


def _words(table: object, problems: list[str]) -> dict[str, str]:
    if not isinstance(table, Mapping):
        problems.append(f"{_at('words')} must be a section of words; passed over")
        return {}
    found = {}
    for word, head in table.items():
        if not isinstance(head, str) or not head.strip():
            problems.append(f"{_at('words', word)} must be a word in quotes; passed over")
        elif wrong := _unusable(word):
            problems.append(f"{_at('words', word)} {wrong}; passed over")
        else:
            found[word] = head
    return found


def _conditions(table: object, problems: list[str]) -> dict[str, dict[str, list[str]]]:
    found: dict[str, dict[str, list[str]]] = {}
    for axis, values in _tables(table, ("conditions",), problems):
        if axis not in AXES:
            problems.append(f"{_at('conditions', axis)} is none of {', '.join(AXES)}; passed over")
            continue
        known = shipped().table(axis)
        for value, phrases in _tables(values, ("conditions", axis), problems, of_tables=False):
            if value not in known:
                problems.append(
                    f"{_at('conditions', axis, value)} is none of {', '.join(known)}; passed over"
                )
            elif usable := _usable(phrases, _at("conditions", axis, value), problems):
                found.setdefault(axis, {})[value] = usable
    return found


def _tables(
    table: object, place: tuple[str, ...], problems: list[str], *, of_tables: bool = True
) -> Iterator[tuple[str, Any]]:
    if isinstance(table, Mapping):
        yield from table.items()
    else:
        inside = "sections" if of_tables else "lists of phrases"
        problems.append(f"{_at(*place)} must be a section of {inside}; passed over")


def _usable(phrases: object, place: str, problems: list[str]) -> list[str]:
    items = [phrases] if isinstance(phrases, str) else phrases
    if not isinstance(items, list):
        problems.append(f"{place} must be a list of phrases; passed over")
        return []
    found = []
    for item in items:
        if not isinstance(item, str):
            problems.append(f"{place} must be a list of phrases; {_shown(str(item))} passed over")
        elif wrong := _unusable(item):
            problems.append(f"{place}: {_shown(item)} {wrong}; passed over")
        else:
            found.append(item)
    return found


def _unusable(phrase: str) -> str:
    """Say why no text can be read as `phrase`; "" where one can."""
    starts = first_words(phrase, shipped().lists)
    return "" if starts - {"...", "<n>"} else "does not begin with a word"


def _at(*keys: str) -> str:
    return ".".join(("vocabulary", *(key if _is_bare(key) else _shown(key) for key in keys)))


def _is_bare(key: str) -> bool:
    return key.replace("-", "").replace("_", "").isalnum() and len(key) <= LONGEST_KEY


def _shown(text: str) -> str:
    """Quote what the file says, cut short, so that it stays one line of a message."""
    return repr(text if len(text) <= LONGEST_KEY else f"{text[:LONGEST_KEY]}...")
