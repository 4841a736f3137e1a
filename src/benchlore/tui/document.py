"""A note made ready for reading: its source lines, each with its number, marks taken off.

A row stands for one line of the file, so line numbers are those of any editor. What cannot be shown
line by line with its marks taken off is shown as it was typed: nothing is lost.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from markdown_it import MarkdownIt
from markdown_it.token import Token

from benchlore.errors import BenchloreError
from benchlore.index.files import read_content, reason
from benchlore.notes import Note, NotText, read_note, split_lines

MARKDOWN_CAP = 64 * 1024
"""Characters of a body above which it is shown as typed, and so is any paragraph of more than
`PARAGRAPH_CAP`: CommonMark would take seconds."""
PARAGRAPH_CAP = 4 * 1024


@dataclass(frozen=True, slots=True)
class Piece:
    """A run of text in one style: any of bold and italic; `link` numbers a link or is -1."""

    text: str
    style: str = ""
    link: int = -1


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the file, `number` 1-based."""

    number: int
    pieces: tuple[Piece, ...]

    @property
    def text(self) -> str:
        """What the row says, without styles."""
        return "".join(piece.text for piece in self.pieces)


@dataclass(frozen=True, slots=True)
class Document:
    """A note as it is on disk now. `links` are the targets that pieces refer to, as typed."""

    note: Note
    rows: tuple[Row, ...]
    links: tuple[str, ...] = ()


def read_document(root: Path, path: str) -> Document:
    """Read the note at `path` below the shop folder `root`.

    Raises:
        BenchloreError: it is gone, cannot be read, leads outside the shop or is no text.
    """
    try:
        content = read_content(root, path)
        note = read_note(path, content.data, content.size)
    except (FileNotFoundError, NotADirectoryError):
        raise BenchloreError(
            "gone since the index was built",
            "it was moved or deleted; F5 brings the index up to date",
        ) from None
    except PermissionError as error:
        outside = "outside" in str(error)
        what = "leads outside the shop folder: not opened" if outside else reason(error)
        raise BenchloreError(what) from None
    except NotText as error:
        raise BenchloreError(str(error), error.todo) from None
    except (OSError, ValueError) as error:
        what = reason(error) if isinstance(error, OSError) else "no such file"
        raise BenchloreError(what) from None
    return document_of(note)


def document_of(note: Note) -> Document:
    """Lay out a note whose text has been read."""
    lines = split_lines(note.text)
    rows = [Row(n, (Piece(text.rstrip("\r\n")),)) for n, text in enumerate(lines, 1)]
    body = "".join(lines[note.body_line - 1 :])
    links: list[str] = []
    if len(body) <= MARKDOWN_CAP and not note.path.lower().endswith(".txt"):
        for number, pieces in _rendered(body, note.body_line, rows, links):
            rows[number - 1] = Row(number, pieces)
    return Document(note, tuple(rows), tuple(links))


class _Parser(MarkdownIt):
    """CommonMark that keeps link targets as typed: where they may lead is decided on opening."""

    def normalizeLink(self, url: str) -> str:
        """Leave the target as it is."""
        return url

    def validateLink(self, url: str) -> bool:
        """Take any target."""
        return True


def _rendered(
    body: str, first: int, rows: list[Row], links: list[str]
) -> Iterator[tuple[int, tuple[Piece, ...]]]:
    """Yield the lines that have marks to take off, with their pieces."""
    parser = _Parser("commonmark")
    env: dict[str, object] = {}
    try:
        blocks = parser.disable("inline").parse(body, env)
    except (RecursionError, ValueError, IndexError, AssertionError):
        return
    heading = False
    for token in blocks:
        heading = token.type == "heading_open" or (heading and token.type == "inline")
        if token.type != "inline" or not token.map or len(token.content) > PARAGRAPH_CAP:
            continue
        children: list[Token] = []
        parser.inline.parse(token.content, parser, env, children)
        typed = token.content.split("\n")
        read = _split(children, links)
        if len(read) != len(typed) or len(typed) > token.map[1] - token.map[0]:
            continue
        for offset, (content, pieces) in enumerate(zip(typed, read, strict=True)):
            number = first + token.map[0] + offset
            source = rows[number - 1].text
            at = source.find(content)
            if at < 0:
                continue
            if heading:
                yield number, tuple(replace(piece, style=f"bold {piece.style}") for piece in pieces)
            else:
                lead, rest = Piece(source[:at]), Piece(source[at + len(content) :])
                yield number, tuple(piece for piece in (lead, *pieces, rest) if piece.text)


def _split(children: list[Token], links: list[str]) -> list[list[Piece]]:
    """The pieces of one paragraph, line by line; empty when its lines cannot be told apart."""
    out: list[list[Piece]] = [[]]
    styles: list[str] = []
    link = -1
    for token in children:
        if token.type in ("softbreak", "hardbreak"):
            out.append([])
        elif token.type in ("strong_open", "em_open"):
            styles.append("bold" if token.type == "strong_open" else "italic")
        elif token.type in ("strong_close", "em_close"):
            styles.pop()
        elif token.type == "link_open":
            link = len(links)
            links.append(str(token.attrGet("href") or ""))
        elif token.type == "link_close":
            link = -1
        else:
            text = token.content
            if token.type == "code_inline":
                text = f"{token.markup}{text}{token.markup}"
            elif token.type == "image":
                text = f"{text} ({token.attrGet('src')})".lstrip()
            if "\n" in text:
                return []
            out[-1].append(Piece(text, " ".join(styles), link))
    return out


def find_rows(document: Document, words: str) -> tuple[int, ...]:
    """The numbers of the lines that hold `words`, compared without case."""
    wanted = " ".join(words.casefold().split())
    if not wanted:
        return ()
    return tuple(
        row.number for row in document.rows if wanted in " ".join(row.text.casefold().split())
    )
