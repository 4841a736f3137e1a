"""A sealed store with notes changed since, which stand in a small store beside it in memory.

Every answer is what one store of all the notes would give: counts, too.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from functools import cached_property
from typing import TypeVar

import numpy as np
import numpy.typing as npt

from benchlore.index.digests import Digest
from benchlore.index.encoder import Vectors
from benchlore.index.files import Trouble
from benchlore.index.note_table import NoteTable, joined_tables
from benchlore.index.postings import Postings
from benchlore.index.store import Store
from benchlore.index.stored import (
    Filters,
    StoredCause,
    StoredFile,
    StoredMachine,
    StoredNote,
    StoredPassage,
)
from benchlore.language import Reading
from benchlore.language.quantities import Quantity
from benchlore.language.spans import Span
from benchlore.notes import Lines

T = TypeVar("T")

Counted = tuple[str, str, str, Span | None]
"""What of a reading is counted: axis, value, polarity and range."""


class ChangedStore(Store):
    """Read as a `Store` is. It never changes: a further change makes another.

    Attributes:
        base: the sealed store.
        changes: the notes that are new or changed, numbered above all of `base`.
        touched: paths of all notes that differ from `base`, those that are gone among them.
        gone: numbers of the notes of `base` that no longer count.
        gone_passages: theirs, ascending.
    """

    def __init__(self, base: Store, changes: Store, touched: frozenset[str]) -> None:
        self.base = base
        self.changes = changes
        self.touched = touched
        self.gone = frozenset(number for number, _ in base.files_at(touched).values())
        self.gone_passages: npt.NDArray[np.int64] = np.array(
            sorted(base.passages_of(self.gone)), dtype=np.int64
        )

    def close(self) -> None:
        self.base.close()
        self.changes.close()

    def _kept(self, numbers: Iterable[int]) -> list[int]:
        return [number for number in numbers if number not in self.gone]

    def _by_path(self, of: Callable[[Store], Iterable[T]], path: Callable[[T], str]) -> list[T]:
        """What both stores give, those of gone notes left out, by path."""
        before = [each for each in of(self.base) if path(each) not in self.touched]
        return sorted([*before, *of(self.changes)], key=lambda each: os.fsencode(path(each)))

    def files(self) -> list[StoredFile]:
        return self._by_path(Store.files, lambda file: file.path)

    def files_at(self, paths: Iterable[str]) -> dict[str, tuple[int, StoredFile]]:
        wanted = list(paths)
        before = self.base.files_at(path for path in wanted if path not in self.touched)
        return {**before, **self.changes.files_at(wanted)}

    def troubles(self) -> list[Trouble]:
        return self._by_path(Store.troubles, lambda trouble: trouble.path)

    def note_count(self) -> int:
        return self.base.note_count() - len(self.gone) + self.changes.note_count()

    def passage_count(self) -> int:
        before = self.base.passage_count() - len(self.gone_passages)
        return before + self.changes.passage_count()

    def notes(self, numbers: Iterable[int]) -> dict[int, StoredNote]:
        wanted = list(numbers)
        return {**self.base.notes(self._kept(wanted)), **self.changes.notes(wanted)}

    def sources(self, numbers: Iterable[int]) -> dict[int, tuple[str, str]]:
        wanted = list(numbers)
        return {**self.base.sources(self._kept(wanted)), **self.changes.sources(wanted)}

    def notes_with_problems(self) -> Iterator[StoredNote]:
        yield from self._stored(Store.notes_with_problems)

    def all_notes(self) -> Iterator[StoredNote]:
        yield from self._stored(Store.all_notes)

    def _case_cards(self) -> list[tuple[str, str]]:
        return self._by_path(lambda store: store._case_cards(), lambda pair: pair[0])

    def notes_by_case(self, case: str) -> list[StoredNote]:
        return self._stored(lambda store: store.notes_by_case(case))

    def notes_by_case_ending(self, ending: str) -> list[StoredNote]:
        return self._stored(lambda store: store.notes_by_case_ending(ending))

    def notes_by_path(self, path: str) -> list[StoredNote]:
        return self._stored(lambda store: store.notes_by_path(path))

    def _stored(self, of: Callable[[Store], Iterable[StoredNote]]) -> list[StoredNote]:
        return self._by_path(of, lambda stored: stored.note.path)

    def passages(self, numbers: Iterable[int]) -> list[StoredPassage]:
        wanted = list(numbers)
        before = self.base.passages(wanted)
        return [p for p in before if p.note not in self.gone] + self.changes.passages(wanted)

    def passages_of_notes(self, notes: Iterable[int]) -> list[StoredPassage]:
        wanted = list(notes)
        before = self.base.passages_of_notes(self._kept(wanted))
        return before + self.changes.passages_of_notes(wanted)

    def passages_with_token(self, token: str) -> list[int]:
        gone = set(self.gone_passages.tolist())
        before = [number for number in self.base.passages_with_token(token) if number not in gone]
        return before + self.changes.passages_with_token(token)

    def passages_of(self, notes: Iterable[int]) -> list[int]:
        wanted = list(notes)
        return self.base.passages_of(self._kept(wanted)) + self.changes.passages_of(wanted)

    def postings(self, words: Iterable[str]) -> dict[str, Postings]:
        wanted = list(words)
        before, added = self.base.postings(wanted), self.changes.postings(wanted)
        gone = np.array(sorted(self.gone), dtype=np.int64)
        found = {}
        for word in wanted:
            parts = []
            if word in before:
                notes, counts = before[word].notes, before[word].counts
                live = ~np.isin(notes, gone)
                parts.append(Postings(notes[live], counts[live]))
            if word in added:
                parts.append(added[word])
            if any(len(part.notes) for part in parts):
                found[word] = Postings(
                    np.concatenate([part.notes for part in parts]),
                    np.concatenate([part.counts for part in parts]),
                )
        return found

    def words(self) -> list[str]:
        lost = self._lost_words
        added = self.changes.words()
        return [*({*self.base.words()} - lost | {*added})]

    @cached_property
    def _lost_words(self) -> set[str]:
        """Words that only notes which are gone held."""
        held = {
            word
            for passage in self.base.passages_of_notes(self.gone)
            for word in passage.words.split(" ")
        }
        return {
            word
            for word, postings in self.base.postings(held).items()
            if self.gone.issuperset(postings.notes.tolist())
        }

    def _read_table(self) -> NoteTable:
        return joined_tables(self.base.note_table(), self.gone, self.changes.note_table())

    def conditions(self, notes: Iterable[int]) -> dict[int, list[Reading]]:
        wanted = list(notes)
        return {**self.base.conditions(self._kept(wanted)), **self.changes.conditions(wanted)}

    def condition_lines(self, notes: Iterable[int]) -> dict[int, list[tuple[Reading, Lines]]]:
        wanted = list(notes)
        before = self.base.condition_lines(self._kept(wanted))
        return {**before, **self.changes.condition_lines(wanted)}

    def condition_counts(self) -> list[tuple[Reading, int]]:
        if self._counts is None:
            counted = {_counted(r): (r, count) for r, count in self.base.condition_counts()}
            change: Counter[Counted] = Counter()
            for readings in self.base.conditions(self.gone).values():
                change.subtract({_counted(reading) for reading in readings})
            for reading, count in self.changes.condition_counts():
                counted.setdefault(_counted(reading), (reading, 0))
                change[_counted(reading)] += count
            sums = ((r, count + change[key]) for key, (r, count) in counted.items())
            self._counts = [(reading, count) for reading, count in sums if count]
        return self._counts

    def digests(self, notes: Iterable[int]) -> dict[int, Digest]:
        wanted = list(notes)
        return {**self.base.digests(self._kept(wanted)), **self.changes.digests(wanted)}

    def causes_named(self, nouns: Iterable[str]) -> list[StoredCause]:
        wanted = list(nouns)
        before = [c for c in self.base.causes_named(wanted) if c.note not in self.gone]
        return before + self.changes.causes_named(wanted)

    def _diagnosed(self) -> list[tuple[str, StoredMachine]]:
        before = [pair for pair in self.base._diagnosed() if pair[1].note not in self.gone]
        return before + self.changes._diagnosed()

    def quantities(self, keys: Iterable[str]) -> dict[int, list[Quantity]]:
        wanted = list(keys)
        before = self.base.quantities(wanted)
        kept = {note: found for note, found in before.items() if note not in self.gone}
        return {**kept, **self.changes.quantities(wanted)}

    def matching_notes(self, filters: Filters) -> set[int] | None:
        before, added = self.base.matching_notes(filters), self.changes.matching_notes(filters)
        return None if before is None or added is None else (before - self.gone) | added

    def vectors_of(self, numbers: Iterable[int]) -> tuple[list[int], Vectors]:
        wanted = list(numbers)
        gone = set(self.gone_passages.tolist())
        found, vectors = self.base.vectors_of(number for number in wanted if number not in gone)
        added, more = self.changes.vectors_of(wanted)
        if not found or not added:
            return (found, vectors) if found else (added, more)
        return found + added, np.concatenate([vectors, more])

    def names(self, column: str) -> list[tuple[str, int]]:
        counts = Counter(dict(self.base.names(column)))
        counts.subtract(self.base.names_of(column, self.gone))
        counts.update(dict(self.changes.names(column)))
        named = [(name, count) for name, count in counts.items() if count > 0]
        return sorted(named, key=lambda pair: (-pair[1], pair[0]))

    def names_of(self, column: str, notes: Iterable[int]) -> list[str]:
        wanted = list(notes)
        before = self.base.names_of(column, self._kept(wanted))
        return before + self.changes.names_of(column, wanted)

    def passage_vectors(self, above: int) -> Iterator[tuple[list[int], Vectors]]:
        for numbers, vectors in self.base.passage_vectors(above):
            live = ~np.isin(numbers, self.gone_passages)
            yield np.asarray(numbers)[live].tolist(), vectors[live]
        yield from self.changes.passage_vectors(above)

    def vectors_by_hash(self, hashes: Iterable[bytes]) -> list[tuple[bytes, bytes]]:
        wanted = list(hashes)
        both = self.base.vectors_by_hash(wanted) + self.changes.vectors_by_hash(wanted)
        return list(dict(both).items())

    def newest(self) -> tuple[int, int]:
        pairs = zip(self.base.newest(), self.changes.newest(), strict=True)
        notes, passages = (max(pair) for pair in pairs)
        return notes, passages


def _counted(reading: Reading) -> Counted:
    return reading.axis, reading.value, reading.polarity, reading.span
