"""The body of a note as sections of plain text, each block with its source lines."""

from __future__ import annotations

import re
from collections.abc import Iterator

from markdown_it import MarkdownIt
from markdown_it.token import Token

from benchlore.notes.lines import split_lines, without_end
from benchlore.notes.model import Block, Lines, Section
from benchlore.notes.nodes import Stand

MARKDOWN_CAP = 64 * 1024
"""Characters above which a body is read as plain paragraphs: CommonMark takes 5 s for 256 kB of
short list items."""

_INLINE_CAP = 4 * 1024
_BRACKET_CAP = 100
"""Characters and opening brackets of one paragraph above which its marks stay as typed: their cost
grows with the square, `![` repeated takes 10 s for 256 kB."""

_HEADING = re.compile(r" {0,3}(#{1,6})(?:[ \t]+(.*?))?(?:[ \t]+#+)?[ \t]*\Z")
_TABLE_RULE = re.compile(r"[ \t]*\|?[ \t:|\-]*-[ \t:|\-]*\Z")
_MARKUP_ONLY = re.compile(r"[ \t>*+\-_=~`#|:.0-9)]*\Z")


class _Parser(MarkdownIt):
    """CommonMark that leaves link targets as they are typed; benchlore only shows them."""

    def normalizeLink(self, url: str) -> str:
        """Leave the target as it is."""
        return url

    def validateLink(self, url: str) -> bool:
        """Take any target: none is opened from here."""
        return True


_BLOCKS = _Parser("commonmark").disable("inline")
_INLINE = _Parser("commonmark")


def read_body(text: str, first_line: int, markdown: bool = True) -> tuple[Section, ...]:
    """Read a body.

    Args:
        text: the body, line ends as they are.
        first_line: the line of the file on which `text` starts.
        markdown: read as CommonMark; else as paragraphs between blank lines.
    """
    lines = [without_end(line) for line in split_lines(text)]
    if not markdown:
        found = _paragraphs(lines, 0, len(lines))
    elif len(text) > MARKDOWN_CAP:
        found = _simple(lines)
    else:
        try:
            found = _commonmark(text, lines)
        except (RecursionError, ValueError, IndexError, AssertionError):
            found = _simple(lines)
    return _sections(found, first_line, len(lines))


class _Piece:
    """A heading (level 1 to 6) or a block (level 0), with 0-based lines, `end` left out."""

    __slots__ = ("end", "level", "start", "text")

    def __init__(self, text: str, start: int, end: int, level: int = 0) -> None:
        self.text = text
        self.start = start
        self.end = end
        self.level = level


def _sections(pieces: list[_Piece], first_line: int, count: int) -> tuple[Section, ...]:
    """Group blocks under their headings."""
    out: list[Section] = []
    heads = [i for i, piece in enumerate(pieces) if piece.level]
    starts = heads if heads and heads[0] == 0 else [0, *heads]
    for start, end in zip(starts, [*starts[1:], len(pieces)], strict=True):
        group = pieces[start:end]
        if not group:
            continue
        head = group[0] if group[0].level else None
        blocks = tuple(
            Block(piece.text, Lines(first_line + piece.start, first_line + piece.end - 1))
            for piece in (group[1:] if head else group)
        )
        last = pieces[end].start if end < len(pieces) else count
        lines = Lines(first_line + group[0].start, first_line + max(last, group[-1].end) - 1)
        if head:
            out.append(Section(head.text, head.level, lines, blocks))
        else:
            out.append(Section("", 0, lines, blocks))
    return tuple(out)


def _paragraphs(lines: list[str], start: int, end: int) -> list[_Piece]:
    """Runs of lines between blank ones."""
    out: list[_Piece] = []
    first = start
    for number in range(start, end + 1):
        if number < end and lines[number].strip():
            continue
        if first < number:
            out.append(_Piece("\n".join(lines[first:number]).strip(), first, number))
        first = number + 1
    return out


def _simple(lines: list[str]) -> list[_Piece]:
    """Paragraphs and `#` headings, for a body that CommonMark would take too long for."""
    out: list[_Piece] = []
    first = 0
    for number, line in enumerate(lines):
        heading = _HEADING.match(line) if len(line) < _INLINE_CAP else None
        if heading:
            out.extend(_paragraphs(lines, first, number))
            level = len(heading[1])
            out.append(_Piece((heading[2] or "").strip(), number, number + 1, level))
            first = number + 1
    out.extend(_paragraphs(lines, first, len(lines)))
    return out


def _commonmark(text: str, lines: list[str]) -> list[_Piece]:
    """Headings and blocks as CommonMark sees them; nothing it leaves out is lost."""
    stand = Stand(text)
    env: dict[str, object] = {}
    hidden = text.replace("\0", stand.hide("\0")) if "\0" in text else text
    tokens = _BLOCKS.parse(hidden, env)
    pieces: list[_Piece] = []
    for token, heading in _leaves(tokens):
        start, end = token.map or (0, 0)
        while end > start + 1 and not lines[end - 1].strip():
            end -= 1
        if token.type == "inline":
            content = _plain(stand.restore(token.content), token.content, env, stand)
            if not heading and _is_table(token.content):
                pieces.extend(_rows(lines, start, end))
                continue
        else:
            content = stand.restore(token.content).rstrip("\n")
            info = token.info.strip()
            content = f"{stand.restore(info)}\n{content}" if info else content
        if heading or content.strip():
            pieces.append(_Piece(content.strip("\n"), start, end, heading))
    pieces.extend(_left_out(pieces, tokens, lines))
    return sorted(pieces, key=lambda piece: (piece.start, -piece.level))


def _leaves(tokens: list[Token]) -> Iterator[tuple[Token, int]]:
    """Tokens that carry text, each with the level of the outermost heading it is."""
    heading = 0
    for token in tokens:
        if token.type == "heading_open" and token.level == 0:
            heading = int(token.tag[1])
        elif token.type == "heading_close":
            heading = 0
        elif token.type in ("inline", "fence", "code_block", "html_block"):
            yield token, heading


def _left_out(pieces: list[_Piece], tokens: list[Token], lines: list[str]) -> list[_Piece]:
    """Lines no piece holds: link definitions, and what is nested deeper than CommonMark goes."""
    covered = {number for piece in pieces for number in range(piece.start, piece.end)}
    for token in tokens:
        if token.type in ("hr", "fence", "heading_open") and token.map:
            covered.update(range(*token.map))
    out: list[_Piece] = []
    for number, line in enumerate(lines):
        if number in covered or not line.strip():
            continue
        if len(line) < 80 and _MARKUP_ONLY.match(line):
            continue
        if out and out[-1].end == number:
            out[-1].text += "\n" + line.strip()
            out[-1].end = number + 1
        else:
            out.append(_Piece(line.strip(), number, number + 1))
    return out


def _is_table(content: str) -> bool:
    """Whether a paragraph is a table drawn with bars, which CommonMark does not know."""
    rows = content.split("\n")
    return (
        len(rows) > 1
        and len(rows[1]) < _INLINE_CAP
        and all(row.lstrip().startswith("|") for row in rows)
    )


def _rows(lines: list[str], start: int, end: int) -> list[_Piece]:
    return [
        _Piece(lines[number].strip(), number, number + 1)
        for number in range(start, end)
        if len(lines[number]) > _INLINE_CAP or not _TABLE_RULE.match(lines[number])
    ]


def _plain(typed: str, content: str, env: dict[str, object], stand: Stand) -> str:
    """The text of a paragraph without its marks; as typed where reading it would take long."""
    if len(content) > _INLINE_CAP or content.count("[") > _BRACKET_CAP:
        return typed
    out: list[str] = []
    links: list[tuple[str, int]] = []
    for token in _inline_tokens(content, env):
        if token.type == "link_open":
            links.append((_target(token, "href"), len(out)))
        elif token.type == "link_close" and links:
            target, since = links.pop()
            if target not in ("".join(out[since:]), ""):
                out.append(f" ({target})")
        elif token.type == "image":
            out.append(f"{token.content} ({_target(token, 'src')})".lstrip())
        elif token.type == "softbreak":
            out.append(" ")
        elif token.type == "hardbreak":
            out.append("\n")
        else:
            out.append(token.content)
    return stand.restore("".join(out))


def _inline_tokens(content: str, env: dict[str, object]) -> list[Token]:
    tokens: list[Token] = []
    _INLINE.inline.parse(content, _INLINE, env, tokens)
    return tokens


def _target(token: Token, name: str) -> str:
    """Where a link leads, with its title as typed behind it."""
    target = str(token.attrGet(name) or "").removeprefix("mailto:")
    title = token.attrGet("title")
    return f'{target} "{title}"' if title else target
