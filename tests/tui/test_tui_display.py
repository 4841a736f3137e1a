"""Only `display` makes what widgets show; nothing in this package hands a widget a bare str."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import pytest

from benchlore.tui import display

SOURCE = Path(display.__file__).parent

MAKERS = {"Content", "Text", "Static", "Label", "Button", "Checkbox", "Markdown", "Collapsible"}
"""Classes that take a str as markup, or text that was not made harmless: for `display` only."""

SHOWING = {"Option", "Shown", "notify", "update", "show", "show_line", "from_markup", "set_title"}
"""Calls that bring something on the screen."""

TITLES = {"border_title", "border_subtitle", "tooltip", "title", "sub_title", "loading_message"}
"""Attributes that Textual reads as markup."""


def faults(tree: ast.AST) -> list[str]:
    """What in a module might show text that was not made harmless."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(("textual", "rich")):
            for name in {alias.name for alias in node.names} & (MAKERS - {"Content"}):
                found.append(f"{node.lineno}: imports {name}")
        if isinstance(node, ast.Call):
            name = _name(node.func)
            given = [*node.args[:1], *(k.value for k in node.keywords if k.arg in ("prompt",))]
            if name in MAKERS or name == "from_markup":
                found.append(f"{node.lineno}: calls {name}")
            if name in SHOWING and any(_is_text(value) for value in given):
                found.append(f"{node.lineno}: {name} is given a bare str")
        if isinstance(node, ast.Assign):
            for target in node.targets:
                if isinstance(target, ast.Attribute) and target.attr in TITLES:
                    found.append(f"{node.lineno}: sets {target.attr}")
    return found


def _name(function: ast.expr) -> str:
    if isinstance(function, ast.Attribute):
        return function.attr
    return function.id if isinstance(function, ast.Name) else ""


def _is_text(value: ast.expr) -> bool:
    """Whether an expression is certainly, or might well be, a str."""
    if isinstance(value, ast.Constant):
        return isinstance(value.value, str)
    if isinstance(value, ast.Call):
        return _name(value.func) in {"str", "repr", "format", "join", "shown", "shown_line"}
    return isinstance(value, (ast.JoinedStr, ast.BinOp))


@pytest.mark.parametrize("path", sorted(SOURCE.glob("*.py")), ids=lambda path: path.name)
def test_widgets_are_given_display_text_only(path: Path) -> None:
    if path.name != "display.py":
        assert faults(ast.parse(path.read_text("utf-8"))) == []


@pytest.mark.parametrize(
    "line",
    [
        "Static(note.symptom)",
        "Shown(f'{note.symptom}')",
        "Option('a' + name)",
        "self.notify(str(error))",
        "widget.update(shown(text))",
        "self.border_title = path",
        "from textual.widgets import Label",
        "Content.from_markup(text)",
    ],
)
def test_the_check_sees_a_bare_str(line: str) -> None:
    assert faults(ast.parse(line))


def test_every_code_point_is_harmless_in_display_text() -> None:
    text = "".join(map(chr, range(sys.maxunicode + 1)))
    for made in (display.plain(text), display.row(text), display.line(text), display.link(text, 1)):
        left = {
            c for c in made.plain if ord(c) < 32 or 0x7F <= ord(c) < 0xA0 or c in "\u202e\u200b"
        }
        assert left <= {"\n"}
    assert "\n" not in display.row(text).plain
    assert not {c for c in display.field_text(text) if ord(c) < 32}


def test_brackets_survive() -> None:
    text = "[P0301] [Nm] [/] [b [c] [@click=app.bell]"
    assert display.plain(text, "bold").plain == text
    assert display.rows((display.row(text), display.line(text))).plain == f"{text}\n{text}"


def test_hanging_text_keeps_all_words_and_its_indent() -> None:
    made = display.hanging(display.row(" - "), display.row("one two three four five"), 13)
    assert made.plain.split("\n") == [" - one two", "   three four", "   five"]
