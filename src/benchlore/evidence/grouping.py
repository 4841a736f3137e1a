"""Putting together what is the same."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

Item = TypeVar("Item")


def grouped(items: Iterable[Item], same: Callable[[Item, Item], bool]) -> list[list[Item]]:
    """Return groups in which every two items are the same; in order of their first items.

    An item joins the largest group whose members are all the same as it, so "wheel bearing" without
    a side goes with the side that most cases name, and left never comes to stand beside right.
    """
    groups: list[list[Item]] = []
    for item in items:
        fitting = [group for group in groups if all(same(item, other) for other in group)]
        if fitting:
            max(fitting, key=len).append(item)
        else:
            groups.append([item])
    return groups


def most_often(texts: Iterable[str]) -> str:
    """Return the text that stands most often, compared without case; the first of them."""
    counts: dict[str, int] = {}
    first: dict[str, str] = {}
    for text in texts:
        key = " ".join(text.casefold().split())
        counts[key] = counts.get(key, 0) + 1
        first.setdefault(key, text)
    return first[max(counts, key=lambda key: counts[key])] if counts else ""
