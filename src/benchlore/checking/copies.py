"""Files that stand beside a note: copies left by file sync and editors, and names that clash."""

from __future__ import annotations

import os
import posixpath
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence

from benchlore.checking.model import Finding, Kind
from benchlore.index.files import NOTE_ENDINGS
from benchlore.keeping.names import same_name
from benchlore.shop import NOTE_FOLDERS

_CONFLICTS = (
    re.compile(r"(?P<stem>.+)\.sync-conflict-\d{8}-\d{6}(?:-\w+)?(?P<ending>\.\w+)", re.I),
    re.compile(r"(?P<stem>.+?) ?\([^()]*\bconflict(?:ed copy)?\b[^()]*\)(?P<ending>\.\w+)", re.I),
    re.compile(r"(?P<stem>.+?)_conflict-\d{8}-\d{6}(?P<ending>\.\w+)", re.I),
)
"""Names that file-sync programs give to the loser of two changes: the first as Syncthing documents
it ("Syncing", conflicting changes), the others from memory."""

_PLAIN_COPIES = (
    re.compile(r"(?P<stem>.+?) ?\(\d{1,2}\)(?P<ending>\.\w+)"),
    re.compile(r"(?P<stem>.+?) - Copy(?: \(\d+\))?(?P<ending>\.\w+)", re.I),
    re.compile(r"Copy of (?P<stem>.+)(?P<ending>\.\w+)", re.I),
    re.compile(r"(?P<stem>.+)\.(?:orig|bak|old)(?P<ending>\.\w+)", re.I),
)
"""Names that a copy is given; common practice, no source. They count where the original is there,
as a technician may write "(2)" as well."""

_LEFTOVERS = (
    (re.compile(r"(.+)~"), "a copy that an editor left"),
    (re.compile(r"(.+)\.(?:orig|bak|old|rej)", re.I), "a copy that another program left"),
    (re.compile(r"\.(.+)\.sw[a-p]"), "left by an editor that has it open or was stopped"),
    (re.compile(r"\.#(.+)"), "left by an editor that has it open or was stopped"),
    (re.compile(r"[.~]syncthing[.~](.+)\.tmp"), "a transfer that did not come to its end"),
)
"""Names of files that are no notes, the note's own name in the first group, and what they are."""

_SHADOW = re.compile(r"\._(.+)")
"""What one system keeps beside each file on a disk of another kind; named once for a folder."""


def conflict_of(path: str, paths: Mapping[str, str]) -> tuple[str, bool] | None:
    """The original of a conflict copy or a plain copy, and whether that is there; None for a note.

    `paths` holds the path of every note by its `same_name`.
    """
    folder, name = posixpath.split(path)
    for pattern in _CONFLICTS:
        match = pattern.fullmatch(name)
        if match:
            original = posixpath.join(folder, match["stem"] + match["ending"])
            return paths.get(same_name(original), original), same_name(original) in paths
    for pattern in _PLAIN_COPIES:
        match = pattern.fullmatch(name)
        if match:
            known = paths.get(same_name(posixpath.join(folder, match["stem"] + match["ending"])))
            if known is not None:
                return known, True
    return None


def conflicts(paths: Iterable[str], by_name: Mapping[str, str]) -> Iterator[Finding]:
    """Name each copy among the notes, with its original."""
    for path in paths:
        found = conflict_of(path, by_name)
        if found is None:
            continue
        original, there = found
        if there:
            todo = "compare the two, keep what is right in one, delete the other"
            yield _file(path, "copy", f"a copy of {original}", todo)
        else:
            what = f"a copy that file sync left of {original}, which is not there"
            yield _file(path, "copy", what, "give it its own name again if it is the note")


def leftovers(root: str, paths: Sequence[str]) -> Iterator[Finding]:
    """Name what stands beside the notes and is none: it is not searched."""
    for folder in sorted({posixpath.dirname(path) for path in paths} | set(NOTE_FOLDERS)):
        try:
            names = sorted(os.listdir(os.path.join(root, folder)))
        except OSError:
            continue  # not there, or the listing of notes has named it
        shadows = 0
        for name in names:
            shadow = _SHADOW.fullmatch(name)
            if shadow and _is_note(shadow[1]):
                shadows += 1
                continue
            for pattern, is_what in _LEFTOVERS:
                match = pattern.fullmatch(name)
                if match and _is_note(match[1]):
                    original = posixpath.join(folder, match[1])
                    what = f"beside {original}: {is_what}; not searched"
                    todo = "compare it with the note, then delete it"
                    yield _file(posixpath.join(folder, name), "copy", what, todo)
                    break
        if shadows:
            what = f"{shadows} files named ._x, which another system left; not searched"
            yield _file(folder, "copy", what, "they can be deleted")


def twins(paths: Iterable[str]) -> Iterator[Finding]:
    """Name notes whose names differ only in capitals or in the way that accents are written."""
    alike: dict[str, list[str]] = defaultdict(list)
    for path in paths:
        alike[same_name(path)].append(path)
    for group in alike.values():
        for path in group if len(group) > 1 else ():
            others = ", ".join(other for other in group if other != path)
            how = "capitals" if len({p.casefold() for p in group}) == 1 else "how accents are kept"
            what = f"its name differs from {others} only in {how}"
            yield _file(path, "name", what, "rename one: not every system can hold both")


def _is_note(name: str) -> bool:
    return name.lower().endswith(NOTE_ENDINGS)


def _file(path: str, kind: Kind, what: str, todo: str) -> Finding:
    return Finding(path, 0, 0, what, todo, kind)
