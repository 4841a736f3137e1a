"""Bytes of a file to a Note."""

from __future__ import annotations

import hashlib
from itertools import takewhile
from pathlib import PurePosixPath
from typing import Any

from benchlore.notes.body import read_body
from benchlore.notes.decode import Decoded, decode
from benchlore.notes.fields import read_fields
from benchlore.notes.frontmatter import FrontMatter, read_front_matter
from benchlore.notes.lines import LineIndex, split_lines, without_end
from benchlore.notes.model import Block, Kind, Lines, Note, Problem, Section, Stated
from benchlore.notes.nodes import as_text, key_name

_HEADLINE = 200
"""Characters of a heading or line that are used as title or symptom."""

_LABELS = {"complaint", "customer complaint", "symptom", "symptoms", "notes", "what we did", "job"}
"""Headings that name a section of a note and say nothing about the job."""


def read_note(path: str, data: bytes, size: int | None = None) -> Note:
    """Read a case note or symptom article.

    Args:
        path: place below the shop folder, `/` between its parts.
        data: the file's bytes, or the first `decode.READ_CAP` or more of them.
        size: the file's size where `data` may be only its beginning.

    Returns:
        The note; whatever could not be read as it was meant is in `problems`, by line. Where only
        the beginning was read, `digest` is that of `data`.

    Raises:
        NotText: the file is no text at all. Nothing else is raised, whatever the bytes are.
    """
    decoded = decode(data)
    text = decoded.text
    index = LineIndex(text)
    matter = read_front_matter(text, index)
    fields = read_fields(text, matter, index)
    body_line = index.line(matter.body)
    sections = read_body(text[matter.body :], body_line, not path.casefold().endswith(".txt"))
    problems = (
        *decoded.problems,
        *matter.problems,
        *fields.pop("problems"),
        *_cut_off(decoded, max(len(data), size or 0)),
        *_second_front_matter(text, matter, index),
    )
    _name(fields, path, sections, text, matter, index)
    return Note(
        path=path,
        kind=_kind(path),
        digest=hashlib.sha256(data).hexdigest(),
        text=text,
        encoding=decoded.encoding,
        sections=sections,
        body_line=body_line,
        front_matter_read=matter.whole,
        cautions_unread=matter.cautions_unread,
        problems=tuple(sorted(problems, key=lambda problem: (problem.line, problem.column))),
        **fields,
    )


def _kind(path: str) -> Kind:
    return "article" if path.startswith("articles/") else "case"


def _cut_off(decoded: Decoded, size: int) -> tuple[Problem, ...]:
    """Say so when only the beginning of a file was read."""
    if decoded.used >= size:
        return ()
    if size - decoded.used < 4:
        return (Problem(1, 1, "the last character of the file is not complete", "left out"),)
    what = f"this file holds {size // 1024} kB, only the first 256 kB were read"
    return (Problem(1, 1, what, "the rest is not searched; make several notes of it"),)


def _second_front_matter(text: str, matter: FrontMatter, index: LineIndex) -> tuple[Problem, ...]:
    """Name further keys between `---` lines right below the front matter."""
    if matter.inner is None:
        return ()
    rest = text[matter.body : matter.body + 4096]
    start = len(rest) - len(rest.lstrip())
    lines = list(takewhile(str.strip, split_lines(rest[start:])))
    opening = "" if lines and lines[0].strip() == "---" else "---\n"
    again = opening + "".join(lines)
    second = read_front_matter(again, LineIndex(again))
    if second.inner is None or not second.entries:
        return ()
    what = "a second front matter starts here"
    todo = "read as body; move its keys into the first one"
    return (Problem(*index.place(matter.body + start), what, todo),)


def _name(
    fields: dict[str, Any],
    path: str,
    sections: tuple[Section, ...],
    text: str,
    matter: FrontMatter,
    index: LineIndex,
) -> None:
    """Fill in case number, title and symptom where the note gives none."""
    if not fields.get("case", "").strip():
        fields["case"] = PurePosixPath(path).stem
    title = fields.get("title", "").strip()
    symptom: Stated | None = fields.get("symptom")
    if symptom is None:
        symptom = _titled(matter, index) or _headline(sections, split_lines(text))
    fields["symptom"] = symptom
    fields["title"] = title or (symptom.text if symptom else "")


def _titled(matter: FrontMatter, index: LineIndex) -> Stated | None:
    """The title of an article, which says what it is about where no symptom does."""
    for entry in matter.entries:
        text = as_text(entry.value).strip()
        if key_name(entry.key.text) == "title" and text:
            return Stated(text, index.lines(entry.key.start, entry.value.end))
    return None


def _headline(sections: tuple[Section, ...], lines: list[str]) -> Stated | None:
    """The first heading or line that says something.

    A heading such as Complaint only labels what follows; a `##` heading below other text is one of
    several sections. In both cases the first line of text is what the note is about.
    """
    for section in sections:
        heading = section.heading.strip()
        label = heading.casefold().rstrip(":") in _LABELS
        if heading and not label:
            return Stated(heading[:_HEADLINE], Lines(section.lines.first, section.lines.first))
        if section.blocks:
            return _first_line(section.blocks[0], lines)
    return None


def _first_line(block: Block, lines: list[str]) -> Stated:
    """The first line of `block` that is not blank, without its marks."""
    number = block.lines.first
    while number < block.lines.last and not lines[number - 1].strip():
        number += 1
    line = without_end(lines[number - 1])
    for section in read_body(line, number):
        for text in (section.heading, *(each.text for each in section.blocks)):
            if text.strip():
                return Stated(text.strip()[:_HEADLINE], Lines(number, number))
    return Stated(line.strip()[:_HEADLINE], Lines(number, number))
