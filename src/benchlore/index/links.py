"""Where a link in a note leads, and whether it may be followed."""

from __future__ import annotations

import posixpath
import re
import unicodedata
from dataclasses import dataclass
from urllib.parse import unquote, urlsplit

from benchlore.shop import NOTE_FOLDERS

OUTSIDE = "leads outside the shop folder: not opened"

_SCHEME = re.compile(r"[A-Za-z][A-Za-z0-9+.\-]*:")
_NOTE_ENDINGS = (".md", ".txt")
_HIDDEN = ("Cc", "Cf", "Cs", "Co", "Zl", "Zp")


@dataclass(frozen=True, slots=True)
class NoteLink:
    """Another note of this shop: `path` is relative to the shop, with `/`."""

    path: str


@dataclass(frozen=True, slots=True)
class WebLink:
    """A page on the web; it is opened only after a yes to its full address."""

    url: str


@dataclass(frozen=True, slots=True)
class Refused:
    """A link that is not followed; `why` is one line."""

    why: str


Link = NoteLink | WebLink | Refused


def resolve_link(target: str, note_path: str) -> Link:
    """Say where `target`, written in the note at `note_path`, leads."""
    target = target.strip()
    if any(unicodedata.category(char) in _HIDDEN for char in target):
        return Refused("the link holds hidden characters: not opened")
    scheme = _SCHEME.match(target)
    if scheme:
        return _web(target, scheme[0][:-1].lower())
    path = unquote(re.split(r"[?#]", target, maxsplit=1)[0], errors="surrogateescape")
    if not path:
        return Refused("the link leads to a place in this note: scroll to it")
    return _inside(path, posixpath.dirname(note_path))


def resolve_mention(mention: str, note_path: str) -> Link | None:
    """Like `resolve_link`, for what stands under `see`: paths from the shop; None for a case."""
    if _SCHEME.match(mention) or mention.lower().endswith(_NOTE_ENDINGS):
        return resolve_link(mention, "") if "/" in mention else resolve_link(mention, note_path)
    return None


def _web(target: str, scheme: str) -> Link:
    if scheme not in ("http", "https"):
        return Refused(f"a link of the kind {scheme}: is never opened from here")
    try:
        host = urlsplit(target).hostname
    except ValueError:
        host = None
    return WebLink(target) if host else Refused("the link names no web site: not opened")


def _inside(path: str, folder: str) -> Link:
    if path.startswith(("/", "\\")) or "\\" in path or "\0" in path:
        return Refused(OUTSIDE)
    full = posixpath.normpath(posixpath.join(folder, path))
    if full.split("/", 1)[0] not in NOTE_FOLDERS:
        return Refused(OUTSIDE)
    if not full.lower().endswith(_NOTE_ENDINGS):
        return Refused("not a case note or article: open it with another program")
    return NoteLink(full)
