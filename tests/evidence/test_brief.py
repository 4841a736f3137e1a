"""What notes hold stands in a brief as text, whatever it looks like in Markdown."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from benchlore.evidence.brief import _safe


@given(st.text(alphabet="ab1. -+#=*_[](){}<>!|&~`\\\n", min_size=1, max_size=30))
def test_no_text_becomes_markup(text: str) -> None:
    """Read by markdown-it-py, a parser of its own: one item, one paragraph, the text as it was."""
    wanted = " ".join(text.split())
    tokens = MarkdownIt("commonmark").parse(f"- {_safe(text)}\n")
    kinds = [token.type for token in tokens]
    if not wanted:
        return
    assert kinds == [
        "bullet_list_open", "list_item_open", "paragraph_open", "inline", "paragraph_close",
        "list_item_close", "bullet_list_close",
    ]  # fmt: skip
    children = tokens[3].children or []
    assert "".join(child.content for child in children) == wanted
    assert {child.type for child in children} <= {"text", "text_special"}
