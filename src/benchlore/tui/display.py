"""The only place where text becomes something a widget may show.

Textual reads a bare str as markup, in which `[P0301]` vanishes and `[/]` raises, and it passes most
control characters on to the terminal. A widget is therefore given `Content` made here, from text
that went through `benchlore.text`. A test over the source of this package keeps it so.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Literal

from textual.app import App
from textual.content import Content, Span
from textual.style import Style
from textual.widgets import Static

from benchlore.text import shown, shown_line

NOTHING = Content()


def plain(text: str, style: str = "") -> Content:
    """`text` as it is, over as many rows as it has lines."""
    return _styled(shown(text), style)


def row(text: str, style: str = "") -> Content:
    """`text` on one row with its spaces kept; a line feed in it becomes a visible mark."""
    return _styled(shown(text).replace("\n", "\N{SYMBOL FOR LINE FEED}"), style)


def line(text: str, style: str = "") -> Content:
    """`text` on one row, every run of white space as one space."""
    return _styled(shown_line(text), style)


def link(text: str, number: int) -> Content:
    """`text` on one row, underlined; a click on it carries `number` in its style as `link`."""
    content = row(text)
    style = Style(underline=True) + Style.from_meta({"link": number})
    return content.add_spans([Span(0, len(content), style)])


def joined(parts: Iterable[Content], separator: str = "") -> Content:
    """`parts` one after the other, `separator` between them."""
    return Content(separator).join(parts)


def hanging(lead: Content, text: Content, width: int) -> Content:
    """`text` wrapped to `width` cells behind `lead`, which further rows leave free."""
    indent = lead.cell_length
    if indent * 2 > width:
        return joined((lead, text))
    wrapped = text.wrap(width - indent)
    return rows(
        joined((row(" " * indent) if number else lead, part)) for number, part in enumerate(wrapped)
    )


def rows(parts: Iterable[Content]) -> Content:
    """`parts` below each other."""
    return joined(parts, "\n")


def field_text(text: str) -> str:
    """`text` as the value of a one-line field; spaces are kept so that typing is not disturbed."""
    return shown(text).replace("\n", " ")


def say(app: App[Any], text: str, kind: Literal["information", "warning"] = "information") -> None:
    """Show `text` for some seconds in a corner of the screen."""
    app.notify(shown_line(text), severity=kind, markup=False)


class Shown(Static):
    """Text on the screen. It takes `Content` only, never a str."""

    def __init__(
        self, content: Content = NOTHING, *, id: str | None = None, classes: str | None = None
    ) -> None:
        super().__init__(content, id=id, classes=classes, markup=False)

    def show(self, content: Content) -> None:
        """Show `content` in place of what is shown."""
        self.update(content)


def _styled(text: str, style: str) -> Content:
    return Content.styled(text, style) if style else Content(text)
