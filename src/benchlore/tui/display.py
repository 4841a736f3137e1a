"""The only place where text becomes something a widget may show.

Textual reads a bare str as markup, in which `[P0301]` vanishes and `[/]` raises, and it passes most
control characters on to the terminal. A widget is therefore given `Content` made here, from text
that went through `benchlore.text`. A test over the source of this package keeps it so.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, Literal

from textual.app import App
from textual.color import Color
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


def half_blocks(pixels: Sequence[Sequence[tuple[int, int, int]]]) -> Content:
    """A picture: `pixels` (red, green, blue, 0 to 255) row by row, two of them in each cell.

    The upper one is the colour of a half block, the lower one the cell's background.
    """
    return rows(_half_block_row(pixels[at : at + 2]) for at in range(0, len(pixels), 2))


def _half_block_row(pair: Sequence[Sequence[tuple[int, int, int]]]) -> Content:
    upper, lower = pair[0], pair[-1] if len(pair) == 2 else None
    spans = []
    for at, colour in enumerate(upper):
        style = Style(foreground=Color(*colour), background=Color(*lower[at]) if lower else None)
        spans.append(Span(at, at + 1, style))
    return Content("\N{UPPER HALF BLOCK}" * len(upper), spans)


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
