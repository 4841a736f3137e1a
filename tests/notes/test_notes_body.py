"""Bodies as sections of plain text with their source lines (CommonMark 0.31.2)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore.notes.body import MARKDOWN_CAP, read_body
from benchlore.notes.lines import split_lines


def blocks(text: str, markdown: bool = True) -> list[tuple[str, int, int]]:
    return [
        (block.text, block.lines.first, block.lines.last)
        for section in read_body(text, 1, markdown)
        for block in section.blocks
    ]


def test_sections_reach_to_the_next_heading() -> None:
    sections = read_body(
        "Before.\n\n## Complaint\nHums.\n\nLouder\nloaded.\n### More\nNext\n====\nx", 11
    )
    assert [(s.heading, s.level, s.lines.first, s.lines.last) for s in sections] == [
        ("", 0, 11, 12),
        ("Complaint", 2, 13, 17),
        ("More", 3, 18, 18),
        ("Next", 1, 19, 21),
    ]
    assert [block.text for block in sections[1].blocks] == ["Hums.", "Louder loaded."]
    assert (sections[1].blocks[1].lines.first, sections[1].blocks[1].lines.last) == (16, 17)


@pytest.mark.parametrize(
    ("markdown", "plain"),
    [
        ("*a* **b** `c_d` __e__", "a b c_d e"),
        ("[hum](articles/a.md)", "hum (articles/a.md)"),
        ('[hum](a.md "Title")', 'hum (a.md "Title")'),
        ("[hum](<a b ü.md>)", "hum (a b ü.md)"),
        ("[x](javascript:alert)", "x (javascript:alert)"),
        ("<https://example.org>", "https://example.org"),
        ("<km@example.org>", "km@example.org"),
        ("![trace](scope.png)", "trace (scope.png)"),
        ("[hum][1]\n\n[1]: a.md", "hum (a.md)"),
        ("<b>bold</b> & &lt; \\* <script>", "<b>bold</b> & < * <script>"),
        ("[P0301] and [Nm]", "[P0301] and [Nm]"),
        ("a  \nb\nc", "a\nb c"),
        ("snake_case 2*3*4", "snake_case 234"),
        ("http://example.org -- (c)", "http://example.org -- (c)"),
    ],
)
def test_marks_are_dropped_and_targets_kept(markdown: str, plain: str) -> None:
    assert blocks(markdown)[0][0] == plain


def test_each_list_item_code_block_and_table_row_is_a_block() -> None:
    text = "- one\n- two\n  more\n\n  para\n1. > q\n\n```sh\nx  y\n```\n\n    code\n"
    text += "\n| a | b |\n|---|:-:|\n| 1 | 2 |\n"
    assert blocks(text) == [
        ("one", 1, 1),
        ("two more", 2, 3),
        ("para", 5, 5),
        ("q", 6, 6),
        ("sh\nx  y", 8, 10),
        ("code", 12, 12),
        ("| a | b |", 14, 14),
        ("| 1 | 2 |", 16, 16),
    ]


def test_html_stays_as_it_is() -> None:
    assert blocks("<div>\nhum\n</div>\n\n<!-- note -->\n") == [
        ("<div>\nhum\n</div>", 1, 3),
        ("<!-- note -->", 5, 5),
    ]


def test_what_commonmark_leaves_out_is_kept() -> None:
    assert blocks("[a]: b.md 'T'\n\n***\nx\n") == [("[a]: b.md 'T'", 1, 1), ("x", 4, 4)]
    assert blocks(">" * 50 + "deep") == [(">" * 50 + "deep", 1, 1)]


def test_text_files_are_paragraphs() -> None:
    assert blocks("# one\n- *two*\n\n\nthree\n", markdown=False) == [
        ("# one\n- *two*", 1, 2),
        ("three", 5, 5),
    ]


def test_a_long_body_is_read_as_paragraphs_and_headings() -> None:
    text = "# Hum #\nfrom *rear*\n\n" + "word " * (MARKDOWN_CAP // 4) + "\n## Next\nlast"
    sections = read_body(text, 1)
    assert [(s.heading, s.level) for s in sections] == [("Hum", 1), ("Next", 2)]
    assert sections[0].blocks[0].text == "from *rear*"
    assert sections[1].blocks[0].lines.first == 6


def test_an_empty_body_has_no_sections() -> None:
    assert read_body("", 1) == ()
    assert read_body("\n \n", 1) == ()


WORDS = st.sampled_from(
    ["hum", "P0301", "# ", "## ", "- ", "1. ", "> ", "    ", "\n", "\n\n", "\r\n", "\r", "---",
    "===",
     "```", "*", "_", "`", "[", "](", ")", "]: ", "<", ">", "<div>", "&amp;", "\\", "|", "\t",
     "\0", "\u2028",
     "!", "~~~", "<!--", "-->", "☃"]
)  # fmt: skip


@given(st.lists(WORDS, max_size=30).map("".join), st.booleans())
def test_lines_are_in_range_and_in_order_and_words_are_kept(text: str, markdown: bool) -> None:
    sections = read_body(text, 5, markdown)
    count = len(split_lines(text))
    starts = [section.lines.first for section in sections]
    assert starts == sorted(starts)
    said = ""
    for section in sections:
        said += section.heading
        for block in section.blocks:
            assert section.lines.first <= block.lines.first <= block.lines.last
            assert block.lines.last <= section.lines.last <= 4 + count
            said += block.text
    for word in ("hum", "P0301", "☃"):
        assert (word in said) == (word in text)
