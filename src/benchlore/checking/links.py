"""What a note points to: other notes under `see` and in its body, and files that belong to it."""

from __future__ import annotations

import os
import posixpath
import re
import unicodedata
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from urllib.parse import unquote

from benchlore.checking.model import Seen
from benchlore.checking.places import Places
from benchlore.index.links import NoteLink, Refused, resolve_link, resolve_mention
from benchlore.keeping.names import same_name
from benchlore.notes import Note

OUTSIDE = "leads outside the shop folder"

_LINK = re.compile(r"\]\(\s*(?:<([^<>\r\n]+)>|([^\s()<>]+(?:\([^\s()]*\)[^\s()<>]*)*))")
"""A link or picture of CommonMark; those in code are rare enough to be looked at as well."""
_DEFINED = re.compile(r"^ {0,3}\[[^\]\r\n]+\]:[ \t]*(?:<([^<>\r\n]+)>|(\S+))", re.M)
_SCHEME = re.compile(r"[A-Za-z][A-Za-z0-9+.\-]+:")
_DRIVE = re.compile(r"[A-Za-z]:")
_MOST = 500
"""Links of one note that are looked at."""


@dataclass(frozen=True, slots=True)
class Mention:
    """A case number under `see`, and where it stands."""

    case: str
    at: int


def same_case(case: str) -> str:
    """A case number as it is compared: capitals and spaces around it tell nothing."""
    return unicodedata.normalize("NFKC", case).strip().casefold()


class Links:
    """Looks up what notes point to among the files of one shop."""

    def __init__(self, root: str, by_name: Mapping[str, str], known: Collection[str]) -> None:
        """`known` holds the path of every note, `by_name` one for each `same_name`."""
        self._root = os.path.realpath(root)
        self._by_name = by_name
        self._known = known

    def mentions(self, note: Note, places: Places) -> tuple[Mention, ...]:
        """The case numbers under `see`."""
        return tuple(
            Mention(mention, places.top_value("see", mention))
            for mention in note.see
            if resolve_mention(mention, note.path) is None
        )

    def broken(self, note: Note, places: Places) -> Iterator[Seen]:
        """Yield what `note` points to by a path and is not there."""
        for mention in note.see:
            link = resolve_mention(mention, note.path)
            if isinstance(link, NoteLink):
                yield from self._note(link.path, mention, places.top_value("see", mention))
            elif isinstance(link, Refused):
                yield _refused(link, mention, places.top_value("see", mention))
        for said in note.files:
            at = places.value(said.lines, "files", said.text)
            yield from self._file(note, said.text, at)
        if not note.path.casefold().endswith(".txt"):
            yield from self._body(note, places)

    def _body(self, note: Note, places: Places) -> Iterator[Seen]:
        start = places.offset(note.body_line, 1)
        for target, at in _targets(note.text, start):
            if target.startswith("#"):
                continue
            if _SCHEME.match(target):
                continue  # a web address: nobody is asked whether it is still there
            plain = unquote(re.split(r"[?#]", target, maxsplit=1)[0])
            if plain.lower().endswith((".md", ".txt")):
                link = resolve_link(target, note.path)
                if isinstance(link, NoteLink):
                    yield from self._note(link.path, target, at)
                elif isinstance(link, Refused):
                    yield _refused(link, target, at)
            elif plain:
                yield from self._file(note, plain, at)

    def _note(self, path: str, written: str, at: int) -> Iterator[Seen]:
        if path in self._known:
            return
        other = self._by_name.get(same_name(path))
        if other is not None:
            what = f"'{written}' is written otherwise than the file {other}"
            yield Seen("link", at, what, "write it the same: not every system finds it so")
        else:
            yield Seen("link", at, f"there is no note {path}", "mend the link, or take it out")

    def _file(self, note: Note, written: str, at: int) -> Iterator[Seen]:
        place = written.replace("\\", "/")
        if _SCHEME.match(place) and not _DRIVE.match(place):
            what = f"'{written}' is a web address, no file"
            yield Seen("file", at, what, "put the link into the text")
            return
        inside = posixpath.normpath(posixpath.join(posixpath.dirname(note.path), place))
        if place.startswith("/") or _DRIVE.match(place) or inside.split("/", 1)[0] == "..":
            yield Seen("file", at, f"'{written}' {OUTSIDE}", "copy the file beside the note")
            return
        if "\0" in inside:
            yield Seen("file", at, f"there is no file {inside}", "mend the name, or take it out")
            return
        real = _real(os.path.join(self._root, inside))
        if real != self._root and not real.startswith(self._root + os.sep):
            yield Seen("file", at, f"'{written}' {OUTSIDE}", "copy the file beside the note")
        elif not os.path.lexists(real):
            yield Seen("file", at, f"there is no file {inside}", "mend the name, or take it out")


def unknown_case(mention: Mention, named: Sequence[str]) -> Seen:
    """What to say of a case number that no note has; `named` are files that begin with it."""
    what = f"no note has the case number '{mention.case}'"
    if len(named) == 1:
        todo = f"write case: {mention.case} into {named[0]} if that is the one"
        return Seen("link", mention.at, what, todo)
    return Seen("link", mention.at, what, "mend the number, or take it out")


def _refused(link: Refused, written: str, at: int) -> Seen:
    why = link.why.split(":")[0]
    return Seen("link", at, f"'{written}': {why}", "mend the link, or take it out")


def _targets(text: str, start: int) -> Iterator[tuple[str, int]]:
    """The targets of the body's links, each with its offset."""
    found = 0
    for pattern in (_LINK, _DEFINED):
        for match in pattern.finditer(text, start):
            group = 1 if match[1] else 2
            found += 1
            if found > _MOST:
                return
            yield match[group], match.start(group)


def _real(path: str) -> str:
    try:
        return os.path.realpath(path)
    except (OSError, ValueError):
        return path
