"""Mends what can be mended without anybody deciding: a few characters each, every other byte as it
was."""

from __future__ import annotations

import hashlib
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from benchlore.checking.model import Finding
from benchlore.errors import NotWritten
from benchlore.index.files import MAX_BYTES, NoteReader, reason
from benchlore.keeping.saving import save_changed
from benchlore.notes import NotEditable, NotText
from benchlore.notes.decode import decode
from benchlore.notes.splice import replace_text
from benchlore.shop import Shop


@dataclass(frozen=True, slots=True)
class Left:
    """A finding that could have been mended and was not, and why."""

    finding: Finding
    why: str


@dataclass(frozen=True, slots=True)
class Mended:
    """What was mended, or would be, and what was left.

    Attributes:
        unwritten: files that could not be written; nothing in them was changed.
    """

    done: tuple[Finding, ...] = ()
    left: tuple[Left, ...] = ()
    unwritten: tuple[Left, ...] = ()


def mend(
    shop: Shop, findings: Iterable[Finding], copied: frozenset[str], dry_run: bool = False
) -> Mended:
    """Mend all `findings` that say how; the others are not touched.

    Args:
        copied: paths of notes that have a copy, the same byte for byte: these are left, as their
            copy would keep what was wrong.
        dry_run: write nothing, but find out all the same what can be done.

    Nothing is raised for a single file: it is named in the result.
    """
    by_path: dict[str, list[Finding]] = defaultdict(list)
    for finding in findings:
        if finding.mend is not None:
            by_path[finding.path].append(finding)
    done: list[Finding] = []
    left: list[Left] = []
    unwritten: list[Left] = []
    for path, group in sorted(by_path.items()):
        if path in copied:
            why = "this note stands in the shop twice; delete one first"
            left += [Left(finding, why) for finding in group]
            continue
        try:
            can, cannot = _mend_note(shop, path, group, dry_run)
        except NotWritten as error:
            unwritten += [Left(finding, str(error)) for finding in group]
        except (OSError, NotText) as error:
            why = reason(error) if isinstance(error, OSError) else str(error)
            left += [Left(finding, why) for finding in group]
        else:
            done += can
            left += cannot
    return Mended(tuple(done), tuple(left), tuple(unwritten))


def _mend_note(
    shop: Shop, path: str, findings: list[Finding], dry_run: bool
) -> tuple[list[Finding], list[Left]]:
    content = NoteReader(shop.root).read(path)
    if content.size > MAX_BYTES:
        return [], [Left(finding, "the file is too large") for finding in findings]
    data, done, left = content.data, [], []
    # From the end to the start: what stands before a change stays where it is.
    for finding in sorted(findings, key=lambda f: f.mend.start if f.mend else 0, reverse=True):
        mend = finding.mend
        assert mend is not None
        end = mend.start + len(mend.old)
        if decode(data).text[mend.start : end] != mend.old:
            left.append(Left(finding, "the note has changed since it was looked at"))
            continue
        try:
            data = replace_text(data, mend.start, end, mend.new)
        except NotEditable as error:
            left.append(Left(finding, str(error)))
        else:
            done.append(finding)
    if done and not dry_run:
        save_changed(shop.root, path, data, hashlib.sha256(content.data).hexdigest())
    return done[::-1], left[::-1]
