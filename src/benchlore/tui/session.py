"""One shop's open index, without a screen. Its methods block: call them in threads."""

from __future__ import annotations

import datetime
import threading
from collections import deque
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from benchlore.errors import BenchloreError, IndexMissing, UsageError
from benchlore.shop import Shop

if TYPE_CHECKING:  # these bring numpy along; `open` imports them when it is called
    from benchlore.evidence.model import Evidence
    from benchlore.index.live import BroughtIn, LiveNotes
    from benchlore.index.store import Store
    from benchlore.index.stored import Filters
    from benchlore.language import Reading
    from benchlore.language.vocabulary import Vocabulary
    from benchlore.search.engine import Engine
    from benchlore.search.results import Answer
    from benchlore.tui.understood import Found, Keys
    from benchlore.writeup.due import Due
    from benchlore.writeup.form import Fields
    from benchlore.writeup.looking import Look
    from benchlore.writeup.proposing import Proposal
    from benchlore.writeup.shop_words import ShopWords


KEPT_STORES = 3
"""Answers that can still be added up after the index has changed."""


@dataclass(frozen=True, slots=True)
class Opened:
    """What is known of an index once it is open. `words_only` as in `OpenIndex`."""

    notes: int
    words_only: str


class Session:
    """The index of `shop` that is in use. Every method may be called from any thread."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self._engine: Engine | None = None
        self._changing = threading.Lock()  # held while the engine is replaced by a newer one
        self._live: LiveNotes | None = None
        self._stores: deque[tuple[Answer, Store]] = deque(maxlen=KEPT_STORES)
        """Answers with the store each came from: another one may number its notes otherwise."""
        self._read: tuple[str, tuple[Reading, ...]] = ("", ())
        """The text asked last and all conditions read from it, dropped ones too."""

    def open(self) -> Opened:
        """Open the index in force, ready to answer; the one open before is given up only then.

        Notes that were brought into the one before are brought into this one where they differ.

        Raises:
            IndexMissing, IndexDamaged, IndexForeign, IndexNewer: nothing can be answered from it.
        """
        from benchlore.index.opened import open_index

        before = self._engine
        index = open_index(self.shop, ahead=True, before=before.index if before else None)
        from benchlore.search.engine import Engine

        index.load()
        engine = Engine(index)
        with self._changing:
            if self._engine is not None and self._engine.index.touched:
                touched = self._engine.index.touched
                index, _ = self._live_notes().bring_in(index, touched, certain=True)
                engine = engine.changed(index)
            # Not closed: a search in another thread may still read the one before.
            self._engine = engine
        return Opened(index.store.note_count(), index.words_only)

    def refresh(self, paths: Iterable[str], certain: bool = False) -> BroughtIn:
        """Find the notes at `paths`, relative to the shop, as they are on disk now.

        What is asked from here on is answered with them. With `certain` this program has written
        the files itself, so that none can be half written.

        Raises:
            IndexMissing: no index is open.
            IndexDamaged: a file of it is not what the build wrote.
        """
        with self._changing:
            engine = self._open_engine()
            index, changed = self._live_notes().bring_in(engine.index, paths, certain)
            if index is not engine.index:
                self._engine = engine.changed(index)
            return changed

    @property
    def is_ahead(self) -> bool:
        """Whether notes are found that stand in no file of the index yet."""
        return self._engine is not None and bool(self._engine.index.touched)

    @property
    def is_behind(self) -> bool:
        """Whether another index is in force by now than the one that is open."""
        from benchlore.index.manifest import read_manifest

        try:
            return (
                read_manifest(self.shop.index, self.shop.root) != self._open_engine().index.manifest
            )
        except BenchloreError:
            return False  # what is open still answers

    def _live_notes(self) -> LiveNotes:
        if self._live is None:
            from benchlore.index.live import LiveNotes

            self._live = LiveNotes()
        return self._live

    def give_up(self) -> None:
        """Use the index no more: it has turned out to be damaged."""
        self._engine = None

    @property
    def is_open(self) -> bool:
        """Whether there is an index to ask."""
        return self._engine is not None

    @property
    def store(self) -> Store:
        """The store of the open index.

        Raises:
            IndexMissing: none is open.
        """
        return self._open_engine().index.store

    def find(self, text: str, filters: Filters | None, dropped: Keys = frozenset()) -> Found:
        """The nearest cases and articles, and how the text was read.

        Of `dropped` conditions only those that this text states are left out and remembered.

        Raises:
            IndexMissing: no index is open.
            IndexDamaged: a file of it is not what the build wrote.
        """
        from benchlore.index.stored import Filters
        from benchlore.search.results import Question
        from benchlore.tui.understood import Found, Understood, still_read

        engine = self._open_engine()
        question = Question(text, filters=filters or Filters())
        answer: Answer | None = None
        try:
            read_text, readings = self._read
            if not dropped or read_text != text:
                # An answer leaves dropped conditions out: whether this text still states them
                # shows only in one for which nothing was dropped.
                answer = engine.find(question)
                readings = answer.readings
                self._read = text, readings
            dropped = still_read(readings, dropped)
            if dropped or answer is None:
                answer = engine.find(replace(question, dropped=dropped))
        except UsageError:
            return Found(None)
        self._stores.append((answer, engine.index.store))
        return Found(answer, Understood(readings, dropped))

    def sum_up(self, answer: Answer, found: Sequence[str], apart: Collection[str]) -> Evidence:
        """What the cases behind `answer` say; see `evidence.summing.sum_up`.

        Raises:
            IndexMissing: no index is open.
            IndexDamaged: a file of it is not what the build wrote.
        """
        from benchlore.evidence.summing import sum_up

        store = next((kept for of, kept in [*self._stores] if of is answer), None)
        return sum_up(store or self.store, self.shop.settings, answer, found, apart)

    def new_case(self) -> Fields:
        """What a new case begins with: the next number of this shop, and the date."""
        from benchlore.writeup.casefile import next_case

        today = datetime.date.today()
        try:
            notes = self.store.all_notes()
            number = next_case((stored.note.case for stored in notes), today)
        except BenchloreError:
            number = ""
        return {"case": number, "date": today.isoformat()}

    def shop_words(self) -> ShopWords:
        """The words in which this shop has written its cases.

        Raises:
            IndexMissing: no index is open.
            IndexDamaged: a file of it is not what the build wrote.
        """
        from benchlore.writeup.shop_words import ShopWords

        return ShopWords.of_store(self.store, self._vocabulary)

    def look_at(self, fields: Fields, body: str, path: str, words: ShopWords | None) -> Look:
        """What is understood of a draft, what it lacks and which cases are near.

        Raises:
            IndexDamaged: a file of the index is not what the build wrote.
        """
        from benchlore.writeup.looking import look_at

        today = datetime.date.today()
        return look_at(fields, body, path, self._engine, words, self._vocabulary, today)

    def propose(self, text: str, words: ShopWords | None) -> tuple[Proposal, ...]:
        """What a text says of a case, piece by piece."""
        from benchlore.writeup.proposing import propose

        return propose(text, self._vocabulary, datetime.date.today(), words)

    def due(self) -> tuple[Due, ...]:
        """The cases that are due for another look.

        Raises:
            IndexMissing: no index is open.
            IndexDamaged: a file of it is not what the build wrote.
        """
        from benchlore.writeup.due import due_cases

        return due_cases(self.store, self.shop.settings, datetime.date.today())

    @property
    def _vocabulary(self) -> Vocabulary:
        from benchlore.language.vocabulary import of_shop

        return of_shop(self.shop.settings.vocabulary)

    def _open_engine(self) -> Engine:
        if self._engine is None:
            raise IndexMissing("no index yet", "F5 builds it")
        return self._engine
