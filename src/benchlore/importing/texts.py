"""A text that is a note already, or becomes one as it stands."""

from __future__ import annotations

import re
from functools import partial

from benchlore.importing.incoming import Incoming, LeftOut, identity
from benchlore.importing.prose import harmless
from benchlore.notes.compose import compose
from benchlore.notes.decode import READ_CAP
from benchlore.notes.frontmatter import FrontMatter, read_front_matter
from benchlore.notes.lines import LineIndex, first_line_end, split_lines, without_end
from benchlore.notes.nodes import as_text, key_name
from benchlore.notes.quoting import Renderer

_EARLIER = re.compile(r"(?:^|(?<=[\r\n]))(imported)(?=[ \t]*:)")
_MARK_ROOM = 512
"""Bytes that the `imported` key may add to a text."""


def too_long() -> str:
    """Why a text is left out."""
    return "longer than 256 kB, of which no more would be read: cut it into several notes"


def text_note(place: str, text: str, stem: tuple[str, ...]) -> Incoming | LeftOut:
    """The note that `text` makes.

    Front matter that it starts with stays as it is, with the `imported` key as its first, and one
    of an earlier import renamed; a text without any becomes the body of a note.

    Args:
        place: where it stands in the source.
        text: the whole of it.
        stem: what the file is called after; its first line where this is empty.
    """
    if not text.strip():
        return LeftOut(place, "nothing in it")
    if len(text.encode("utf-8", "replace")) + _MARK_ROOM > READ_CAP:
        return LeftOut(place, too_long())
    matter = read_front_matter(text, LineIndex(text))
    digest = identity("text", harmless(text).strip())
    return Incoming(
        place=place,
        identity=digest,
        content=digest,
        stem=stem or _stem(text, matter),
        render=partial(_into_front_matter, text, matter.body)
        if matter.inner
        else partial(_as_body, text),
    )


def _stem(text: str, matter: FrontMatter) -> tuple[str, ...]:
    said = {key_name(entry.key.text): as_text(entry.value) for entry in matter.entries}
    rest = text[matter.body :]
    first = next((line for line in split_lines(rest) if line.strip()), "")
    symptom = said.get("symptom") or said.get("title") or without_end(first)
    return (said.get("case") or said.get("date", ""), symptom)


def _into_front_matter(text: str, end: int, mark: str) -> bytes:
    fence, *others = split_lines(_EARLIER.sub(r"\1_before", text[:end]))
    line = "".join(Renderer(frozenset()).lines({"imported": mark}, 0))
    head = "".join([fence, line, first_line_end(text), *others])
    return (head + text[end:]).encode("utf-8", "replace")


def _as_body(text: str, mark: str) -> bytes:
    return compose({"imported": mark}, harmless(text))
