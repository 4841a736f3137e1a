"""Rows C14 and C19 of the fault list, as far as the body is concerned (CommonMark 0.31.2)."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager

import pytest

from benchlore.notes import Note

Read = Callable[..., Note]
AtMost = Callable[[float], AbstractContextManager[None]]


@pytest.mark.parametrize("count", [1_000, 100_000])
@pytest.mark.parametrize("opening", [">", "> ", "- ", "* ", "1. ", "> - ", "[", "![", "*_", "<"])
def test_c14_deep_nesting_in_the_body_is_text(
    read: Read, at_most: AtMost, opening: str, count: int
) -> None:
    text = (opening * count)[:200_000] + "hum"
    with at_most(0.1 if count == 1_000 else 0.5):
        note = read(text)
    kept = "".join(block.text for section in note.sections for block in section.blocks)
    assert kept.endswith("hum")


PATTERNS = [
    "[", "*a ", "a**b ", "`a", "<", "a <![CDATA[", "![", "[a](", "[a][", "> ", "- a\n", "1) a\n",
    "a\n===\n", "[a]: b\n", "***_", "\\",
]  # fmt: skip


@pytest.mark.parametrize("size", [64 * 1024, 256 * 1024])
def test_c19_hostile_markdown_is_read_in_time(read: Read, at_most: AtMost, size: int) -> None:
    for pattern in PATTERNS:
        with at_most(2):
            read((pattern * (size // len(pattern) + 1))[:size])
