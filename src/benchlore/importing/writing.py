"""Writes the notes of a source into the shop, each once, however often it is tried."""

from __future__ import annotations

import re
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from benchlore.errors import NotWritten, UsageError
from benchlore.importing.incoming import Incoming, LeftOut, Source, SourceError
from benchlore.importing.marks import CONTENT_DIGITS, Known, Marks, key_of, mark_text, marks_of
from benchlore.index.files import NOTE_ENDINGS
from benchlore.index.progress import Progress, Report
from benchlore.keeping.names import file_stem
from benchlore.keeping.saving import save_new, why_not_writable
from benchlore.notes.decode import READ_CAP

DEFAULT_FOLDER = "kb/imported"
_BAD_IN_A_NAME = re.compile(r"[\x00-\x1f\x7f\\:*?\"<>|]")


@dataclass(frozen=True, slots=True)
class Preview:
    """A note that would be written: its path (a number may be put behind it) and its text."""

    path: str
    text: str


@dataclass(slots=True)
class Result:
    """What an import did.

    Attributes:
        read: rows, notes or files that were looked at; `taken`, `already` and `left_out` add up
            to it.
        taken: notes written, or that would be.
        already: those that are in the shop from an earlier import.
        left_out: those not taken, and why.
        remarks: what somebody should look at, though it was taken.
        stopped: the user stopped it.
        failed: why writing ended early; what was written until then stays.
        previews: the first notes of a trial.
    """

    read: int = 0
    taken: int = 0
    already: int = 0
    left_out: list[LeftOut] = field(default_factory=list)
    remarks: list[LeftOut] = field(default_factory=list)
    stopped: bool = False
    failed: NotWritten | SourceError | None = None
    previews: list[Preview] = field(default_factory=list)
    seconds: float = 0.0


@dataclass(frozen=True, slots=True)
class Run:
    """How an import is to go.

    Attributes:
        shop_root: the shop.
        folder: where its notes go, as `checked_folder` returns it.
        report: is told how far it is.
        stop: asked between two notes; True ends the import there.
        trial: nothing is written; the first `previews` notes are kept in the result.
    """

    shop_root: Path
    folder: str
    report: Report
    stop: Callable[[], bool] = lambda: False
    trial: bool = False
    previews: int = 3


def checked_folder(named: str) -> str:
    """`named` as a folder below the shop, with `/`.

    Raises:
        UsageError: it is not kb or a folder in it, or notes there would not be found.
    """
    parts = [part for part in named.replace("\\", "/").split("/") if part not in ("", ".")]
    if named.startswith(("/", "\\")) or ".." in parts or parts[:1] != ["kb"]:
        raise UsageError(f"--into {named}: not a folder below kb", "such as kb/imported")
    for part in parts:
        hidden = part.startswith(".") or part.lower().endswith(NOTE_ENDINGS)
        if hidden or part != part.rstrip(". ") or _BAD_IN_A_NAME.search(part):
            raise UsageError(f"--into {named}: '{part}' is no good name for a folder")
    return "/".join(parts)


def run_import(source: Source, run: Run) -> Result:
    """Take in what is not in the shop yet.

    Raises:
        NotWritten: notes cannot be saved there at all; nothing was tried.
    """
    started = time.monotonic()
    why = "" if run.trial else why_not_writable(run.shop_root, run.folder)
    if why:
        raise NotWritten(f"nothing imported: {run.folder}: {why}", "or name another --into")
    marks = marks_of(
        run.shop_root,
        lambda done, total: run.report(Progress("looking for notes imported before", done, total)),
    )
    result = Result(remarks=[LeftOut(path, _unread(what)) for path, what in marks.unread])
    _Importer(source, run, marks, result).all()
    result.seconds = time.monotonic() - started
    return result


def _unread(what: str) -> str:
    return f"{what}; if it was imported before, it may now be in twice"


class _Importer:
    def __init__(self, source: Source, run: Run, marks: Marks, result: Result) -> None:
        self._source = source
        self._run = run
        self._known = marks.known
        self._result = result
        self._seen: Counter[str] = Counter()
        self._first: dict[str, str] = {}

    def all(self) -> None:
        """Go through the source; how it ended stands in the result."""
        result = self._result
        started = time.monotonic()
        try:
            for note in self._source.notes():
                if self._run.stop():
                    result.stopped = True
                    return
                result.read += 1
                if isinstance(note, LeftOut):
                    result.left_out.append(note)
                else:
                    self._take(note)
                self._tell(started)
        except (NotWritten, SourceError) as error:
            result.failed = error

    def _tell(self, started: float) -> None:
        result, total = self._result, self._source.total
        passed = time.monotonic() - started
        left = passed / result.read * (total - result.read) if passed > 2 else None
        self._run.report(Progress(f"importing {self._source.kind}", result.read, total, left))

    def _take(self, note: Incoming) -> None:
        result = self._result
        occurrence = self._seen[note.identity]
        self._seen[note.identity] += 1
        if note.unique and occurrence:
            why = f"its key stands on {self._first[note.identity]} already"
            result.left_out.append(LeftOut(note.place, why))
            return
        if note.unique:
            self._first[note.identity] = note.place
        key = key_of(note.identity, occurrence)
        known = self._known.get(key)
        if known is not None:
            self._again(note, known)
            return
        data = note.render(mark_text(self._source.name, note.place, key, note.content))
        if len(data) > READ_CAP:
            why = "its note would be larger than 256 kB, of which no more is read"
            result.left_out.append(LeftOut(note.place, why))
            return
        self._write(note, data)
        result.remarks += [LeftOut(note.place, remark) for remark in note.remarks]

    def _again(self, note: Incoming, known: Known) -> None:
        """A row whose note is there. Where the source says something else now, a person decides."""
        if known.content == note.content[:CONTENT_DIGITS]:
            self._result.already += 1
            return
        why = f"changed since it was imported as {known.path}; the note is left as it is"
        self._result.left_out.append(LeftOut(note.place, why))

    def _write(self, note: Incoming, data: bytes) -> None:
        result = self._result
        folder, stem = self._run.folder, file_stem(*note.stem)
        if note.year:
            folder = f"{folder}/{note.year}"
        if not self._run.trial:
            save_new(self._run.shop_root, folder, stem, data)
        elif len(result.previews) < self._run.previews:
            result.previews.append(Preview(f"{folder}/{stem}.md", data.decode("utf-8")))
        result.taken += 1
