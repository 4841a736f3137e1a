"""A whole shop looked at: every note, and the notes beside each other. No index is needed."""

from __future__ import annotations

import datetime
import os
import posixpath
import time
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice, takewhile

from benchlore.checking.chosen import ALL, Chosen
from benchlore.checking.copies import conflict_of, conflicts, leftovers, twins
from benchlore.checking.links import Links, Mention, same_case, unknown_case
from benchlore.checking.model import Finding, Seen
from benchlore.checking.note_checks import see
from benchlore.checking.places import Places
from benchlore.index.files import Found, NoteReader, list_notes, reason
from benchlore.index.progress import Progress, Report
from benchlore.keeping.names import same_name
from benchlore.language.vocabulary import Vocabulary, of_shop
from benchlore.notes import Note, NotText, read_note
from benchlore.shop import Shop

REPORT_EVERY_S = 0.1
_DAY_NS = 86_400 * 10**9


@dataclass(frozen=True, slots=True)
class Checked:
    """What a check found.

    Attributes:
        findings: sorted by file, line and column.
        notes: how many notes were looked at.
        copied: notes that have copies, the same byte for byte.
    """

    findings: tuple[Finding, ...]
    notes: int
    copied: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class _Card:
    """What is kept of a note until all have been read."""

    path: str
    case: str
    line: int
    column: int
    stated: bool
    mentions: tuple[tuple[Mention, int, int], ...]


def check_shop(shop: Shop, today: datetime.date, report: Report, only: Chosen = ALL) -> Checked:
    """Look at every note of `shop` and at what stands beside them.

    Of notes that are the same byte for byte, one is looked at and the others are named; likewise a
    conflict copy is named beside its original and not looked into.

    Args:
        today: dates after it lie in the future.
        report: is told how far it is.
        only: what to report on; the other notes are read all the same, for numbers and links.
    """
    listing = list_notes(shop.root)
    findings = [
        Finding(trouble.path, 0, 0, trouble.what, trouble.todo, "reading")
        for trouble in listing.troubles
    ]
    notes = _Notes(shop, today, listing.files, only)
    findings += notes.findings(report)
    paths = [found.path for found in listing.files]
    findings += conflicts(paths, {same_name(path): path for path in reversed(paths)})
    findings += leftovers(str(shop.root), paths)
    findings += twins(paths)
    findings = [finding for finding in findings if finding.path in only]
    findings.sort(key=lambda f: (os.fsencode(f.path), f.line, f.column, f.what))
    count = sum(path in only for path in paths)
    return Checked(tuple(findings), count, frozenset(notes.copied))


class _Notes:
    """Reads the notes one after the other; only a card of each is kept."""

    def __init__(
        self, shop: Shop, today: datetime.date, files: Sequence[Found], only: Chosen
    ) -> None:
        self._root = str(shop.root)
        self._reader = NoteReader(shop.root)
        self._today = today
        self._files = files
        self._only = only
        self._paths = {same_name(found.path): found.path for found in reversed(files)}
        self._links = Links(self._root, self._paths, {found.path for found in files})
        self._vocabulary: Vocabulary = of_shop(shop.settings.vocabulary)
        self._first: dict[str, str] = {}
        self._cards: list[_Card] = []
        self.copied: set[str] = set()

    def findings(self, report: Report) -> Iterator[Finding]:
        """Yield what is found in the notes, then what is wrong between them."""
        reported = 0.0
        for done, found in enumerate(self._files):
            if time.monotonic() - reported > REPORT_EVERY_S:
                reported = time.monotonic()
                report(Progress("looking at notes", done, len(self._files)))
            yield from self._file(found)
        yield from _same_numbers(self._cards)
        yield from self._unknown_cases()

    def _file(self, found: Found) -> Iterator[Finding]:
        path = found.path
        if found.mtime_ns > _midnight_ns(self._today) + 2 * _DAY_NS:
            what, todo = "the file's own date lies in the future", "look at the computer's clock"
            yield Finding(path, 0, 0, what, todo, "date")
        try:
            content = self._reader.read(path)
            if content.size:
                first = self._first.setdefault(content.digest, path)
                if first != path:
                    self.copied.add(first)
                    yield self._same(path, first)
                    return
            note = read_note(path, content.data, content.size)
        except OSError as error:
            yield Finding(path, 0, 0, reason(error), "not looked at", "reading")
            return
        except NotText as error:
            yield Finding(path, 0, 0, str(error), error.todo, "reading")
            return
        copied = conflict_of(path, self._paths)
        if copied is None or not copied[1]:
            yield from self._note(note)

    def _note(self, note: Note) -> Iterator[Finding]:
        places = Places(note)
        self._cards.append(_card(note, places, self._links.mentions(note, places)))
        if note.path not in self._only:
            return
        seen = [
            *see(note, places, self._today, self._vocabulary),
            *self._links.broken(note, places),
        ]
        for each in seen:
            yield _finding(note.path, each, *places.line_and_column(each.at))

    def _same(self, path: str, first: str) -> Finding:
        try:
            linked = os.path.samefile(
                os.path.join(self._root, path), os.path.join(self._root, first)
            )
        except OSError:
            linked = False
        what = f"the same {'file' if linked else 'note, byte for byte,'} as {first}"
        return Finding(path, 0, 0, what, "it counts once; delete one of the two", "copy")

    def _unknown_cases(self) -> Iterator[Finding]:
        known = {same_case(card.case) for card in self._cards}
        names = sorted(
            (same_case(posixpath.basename(card.path)), card.path) for card in self._cards
        )
        for card in self._cards:
            for mention, line, column in card.mentions:
                if same_case(mention.case) not in known:
                    seen = unknown_case(mention, _beginning(names, same_case(mention.case)))
                    yield _finding(card.path, seen, line, column)


def _beginning(names: Sequence[tuple[str, str]], case: str) -> list[str]:
    """The files whose name, not whose front matter, begins with a case number."""
    first = bisect_left(names, (case, ""))
    rest = islice(names, first, None)
    return [path for _, path in takewhile(lambda name: name[0].startswith(case), rest)]


def _midnight_ns(day: datetime.date) -> int:
    start = datetime.datetime(day.year, day.month, day.day, tzinfo=datetime.UTC)
    return int(start.timestamp()) * 10**9


def _finding(path: str, seen: Seen, line: int, column: int) -> Finding:
    return Finding(path, line, column, seen.what, seen.todo, seen.kind, seen.mend)


def _card(note: Note, places: Places, mentions: Iterable[Mention]) -> _Card:
    at = places.key("case")
    line, column = (0, 0)
    if at >= 0:
        line, column = places.line_and_column(places.top_value("case", note.case))
    placed = tuple((mention, *places.line_and_column(mention.at)) for mention in mentions)
    return _Card(note.path, note.case, line, column, at >= 0, placed)


def _same_numbers(cards: Iterable[_Card]) -> Iterator[Finding]:
    """Name every note whose case number another note has, where one of them states it."""
    by_case: dict[str, list[_Card]] = defaultdict(list)
    for card in cards:
        by_case[same_case(card.case)].append(card)
    for group in by_case.values():
        if len(group) < 2 or not any(card.stated for card in group):
            continue
        for card in group:
            others = ", ".join(other.path for other in group if other is not card)
            what = f"case number '{card.case}' is also that of {others}"
            yield Finding(
                card.path, card.line, card.column, what, "give one of them its own", "case"
            )
