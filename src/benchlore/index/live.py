"""Notes changed on disk, found at once: brought into an open index without building it anew.

The sealed files stay as they are. What is new stands in memory beside them, written and read by the
same code as a build's, so the ranking is the same; the next build puts it on disk.
"""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

from benchlore.index.changed_store import ChangedStore
from benchlore.index.encoding import encoded_rows
from benchlore.index.files import Content, Trouble, reason
from benchlore.index.files import read_content as read_note_file
from benchlore.index.opened import OpenIndex
from benchlore.index.passages import cut
from benchlore.index.rows import storable
from benchlore.index.writing import ReadNote, StoreWriter, text_hash
from benchlore.language.vocabulary import of_shop
from benchlore.notes import NotText, read_note

AGAIN_S = 2.0
"""A note is read again so long after a change: it may have been read while being written."""

LOST_SHARE = 0.5
"""A note that lost more of its bytes than this may be half written."""


@dataclass(frozen=True, slots=True)
class BroughtIn:
    """What bringing in notes did; paths are relative to the shop.

    Attributes:
        found: new or changed notes that searches find from now on.
        gone: notes that are found no more.
        waiting: notes that lost most of their text, or their file: found as they were before.
        again: notes to be read again in `AGAIN_S` seconds, those waiting among them.
        troubles: notes that could not be read, and passages found by their words only.
    """

    found: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    waiting: tuple[str, ...] = ()
    again: tuple[str, ...] = ()
    troubles: tuple[Trouble, ...] = ()

    @property
    def count(self) -> int:
        """How many notes are found otherwise than before."""
        return len(self.found) + len(self.gone)


@dataclass(frozen=True, slots=True)
class _Arrived:
    """What was read: a content for each path that is to be brought in, None where it is gone."""

    contents: Mapping[str, Content | None]
    waiting: tuple[str, ...]
    troubles: tuple[Trouble, ...]


class LiveNotes:
    """Brings changed notes into an open index; remembers which of them may be half written.

    One for each running program; its methods must not be called from two threads at once.
    """

    def __init__(self) -> None:
        self._shrunk: dict[str, tuple[str, float]] = {}
        """By path what a note was first read as when it had lost most of its text, and when."""

    def bring_in(
        self, index: OpenIndex, paths: Iterable[str], certain: bool = False
    ) -> tuple[OpenIndex, BroughtIn]:
        """Return `index` with the notes at `paths` as they are on disk now, and what has changed.

        The index that is given stays as it is, and is returned when nothing has changed. With
        `certain` the files are known to be whole, as this program has written them.

        Raises:
            IndexDamaged: a file of the index is not what the build wrote.
        """
        wanted = sorted(set(paths))
        arrived = self._read(index, wanted, certain)
        contents = arrived.contents
        changed = BroughtIn(
            found=tuple(path for path, content in contents.items() if content),
            gone=tuple(path for path, content in contents.items() if not content),
            waiting=arrived.waiting,
            again=tuple(sorted({*contents, *arrived.waiting})) if not certain else (),
            troubles=arrived.troubles,
        )
        if not contents:
            return index, changed
        store, troubles = _changed_store(index, contents)
        left_out = {trouble.path for trouble in troubles} - {f.path for f in store.changes.files()}
        return index.with_changes(store), BroughtIn(
            found=tuple(path for path in changed.found if path not in left_out),
            gone=changed.gone,
            waiting=changed.waiting,
            again=changed.again,
            troubles=(*changed.troubles, *troubles),
        )

    def _read(self, index: OpenIndex, paths: list[str], certain: bool) -> _Arrived:
        stored = index.store.files_at(paths)
        contents: dict[str, Content | None] = {}
        waiting, troubles = [], []
        for path in paths:
            content = None
            try:
                content = read_note_file(index.shop.root, path)
            except FileNotFoundError:
                pass
            except OSError as error:  # what was read before is kept; the next build says so too
                troubles.append(Trouble(path, reason(error), "not read again"))
                continue
            known = stored[path][1] if path in stored else None
            if known is None and content is None:
                continue
            if known and content and known.digest == content.digest:
                self._shrunk.pop(path, None)
            elif known and not certain and self._must_wait(path, known.size, content):
                waiting.append(path)
            else:
                contents[path] = content
                self._shrunk.pop(path, None)
        if _are_most(contents, index.store.note_count()) and not certain:
            # More likely a share that is gone than so many deleted notes: a build decides.
            contents = {path: content for path, content in contents.items() if content}
        return _Arrived(contents, tuple(waiting), tuple(troubles))

    def _must_wait(self, path: str, size_before: int, content: Content | None) -> bool:
        """Whether the note may be half written: until two readings, some time apart, agree."""
        size = content.size if content else 0
        if size >= size_before * (1 - LOST_SHARE):
            return False
        digest, now = content.digest if content else "", time.monotonic()
        first = self._shrunk.get(path)
        if first is None or first[0] != digest:
            self._shrunk[path] = (digest, now)
            return True
        return now - first[1] < AGAIN_S * 0.9  # timers are not exact


def _are_most(contents: Mapping[str, Content | None], notes: int) -> bool:
    gone = sum(content is None for content in contents.values())
    return gone * 2 > notes


def _changed_store(
    index: OpenIndex, contents: Mapping[str, Content | None]
) -> tuple[ChangedStore, list[Trouble]]:
    """The store of `index` with the notes in `contents`, and what needs a look in them."""
    store = index.store
    base, before, touched = (
        (store.base, store.changes, store.touched)
        if isinstance(store, ChangedStore)
        else (store, None, frozenset())
    )
    read, fresh = _notes(contents)
    # Beside each other: the sentence model leaves the other core to reading what notes mean.
    with ThreadPoolExecutor(max_workers=1) as other:
        vectors = None if index.words_only else other.submit(_vectors, index, read)
        writer = StoreWriter.in_memory(base, before, of_shop(index.shop.settings.vocabulary))
        writer.forget(contents)
        for note in read:
            writer.add(note)
        writer.finish()
        if vectors is not None:
            writer.add_vectors(vectors.result())
            writer.add_note_vectors()
            fresh += [t for t in writer.without_vector() if t.path in contents]
    kept = [] if before is None else [t for t in before.troubles() if t.path not in contents]
    writer.set_troubles([*kept, *fresh])
    return ChangedStore(base, writer.store(), touched | {*contents}), fresh


def _notes(contents: Mapping[str, Content | None]) -> tuple[list[ReadNote], list[Trouble]]:
    """The notes in `contents`, and what cannot be read as one."""
    read, troubles = [], []
    for path, content in contents.items():
        if content is None:
            continue
        try:
            note = read_note(path, content.data, content.size)
        except NotText as error:
            troubles.append(Trouble(path, str(error), error.todo))
        else:
            read.append(ReadNote(note, content, tuple(cut(note))))
    return read, troubles


def _vectors(index: OpenIndex, read: Iterable[ReadNote]) -> list[tuple[bytes, bytes]]:
    """(hash, vector) for the passages of the notes `read`: as the index has them, else encoded."""
    texts = (storable(passage.text) for note in read for passage in note.passages)
    wanted = {text_hash(text): text for text in texts}
    known = index.store.vectors_by_hash(wanted)
    have = {key for key, _ in known}
    missing = [(key, text) for key, text in wanted.items() if key not in have]
    return known + encoded_rows(missing, index.encode_all) if missing else known
