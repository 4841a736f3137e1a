"""The line counter against a plain reference and against CommonMark's."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from benchlore.notes import LineIndex, Lines, split_lines
from benchlore.notes.lines import first_line_end, without_end

TEXTS = st.text(st.sampled_from("ab \n\r\u2028\u2029\x85\x0b\x0c\x1c"), max_size=40)


def reference(text: str) -> list[str]:
    """Lines as an editor counts them, one character at a time."""
    lines, current = [], ""
    for i, char in enumerate(text):
        current += char
        if char == "\n" or (char == "\r" and text[i + 1 : i + 2] != "\n"):
            lines.append(current)
            current = ""
    return [*lines, current] if current else lines


@given(TEXTS)
def test_lines_are_those_of_the_reference(text: str) -> None:
    assert split_lines(text) == reference(text)
    assert "".join(split_lines(text)) == text


@given(TEXTS)
def test_offsets_and_places_belong_together(text: str) -> None:
    index = LineIndex(text)
    offset = 0
    for number, line in enumerate(reference(text), start=1):
        for column in range(1, len(line) + 1):
            assert index.place(offset) == (number, column)
            assert index.offset(number, column) == offset
            offset += 1


@given(st.lists(st.sampled_from(["\n", "\r\n", "\r"]), max_size=12))
def test_commonmark_counts_the_same_lines(ends: list[str]) -> None:
    text = "".join(f"word{end}{end}" for end in ends) + "last\u2028 \x85 \x0c word"
    tokens = MarkdownIt("commonmark").parse(text)
    starts = [token.map[0] + 1 for token in tokens if token.type == "inline" and token.map]
    words = [number for number, line in enumerate(reference(text), 1) if line.strip("\r\n")]
    assert starts == words


def test_a_range_ends_on_the_line_of_its_last_character() -> None:
    index = LineIndex("a\nb\nc")
    assert index.lines(0, 2) == Lines(1, 1)
    assert index.lines(0, 3) == Lines(1, 2)
    assert index.lines(2, 2) == Lines(2, 2)
    assert index.offset(9) == 5


def test_line_ends_are_told_apart() -> None:
    assert [first_line_end(text) for text in ("a", "a\r\nb\n", "a\rb\n")] == ["\n", "\r\n", "\r"]
    assert [without_end(line) for line in ("a\r\n", "a\u2028\n", "\r")] == ["a", "a\u2028", ""]
