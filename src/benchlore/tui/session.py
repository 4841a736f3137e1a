"""One shop's open index, without a screen. Its methods block: call them in threads."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchlore.errors import IndexMissing, UsageError
from benchlore.shop import Shop

if TYPE_CHECKING:  # these bring numpy along; `open` imports them when it is called
    from benchlore.index.store import Filters, Store
    from benchlore.search.engine import Engine
    from benchlore.search.results import Answer


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

    def open(self) -> Opened:
        """Open the index in force, ready to answer; the one open before is given up only then.

        Raises:
            IndexMissing, IndexDamaged, IndexForeign, IndexNewer: nothing can be answered from it.
        """
        from benchlore.index.opened import open_index

        index = open_index(self.shop, ahead=True)
        from benchlore.search.engine import Engine

        index.load()
        # Not closed: a search in another thread may still read the one before.
        self._engine = Engine(index)
        return Opened(index.store.note_count(), index.words_only)

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

    def find(self, text: str, filters: Filters | None) -> Answer | None:
        """The nearest cases and articles; None for a text that says nothing.

        Raises:
            IndexMissing: no index is open.
            IndexDamaged: a file of it is not what the build wrote.
        """
        from benchlore.index.store import Filters
        from benchlore.search.results import Question

        try:
            return self._open_engine().find(Question(text, filters=filters or Filters()))
        except UsageError:
            return None

    def _open_engine(self) -> Engine:
        if self._engine is None:
            raise IndexMissing("no index yet", "F5 builds it")
        return self._engine
