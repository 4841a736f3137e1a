"""Asks the index in a thread; only the newest question is answered."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual import work
from textual.message import Message
from textual.widget import Widget

from benchlore.errors import BenchloreError
from benchlore.tui.session import Session

if TYPE_CHECKING:
    from benchlore.index.stored import Filters
    from benchlore.tui.understood import Found, Keys


class Searcher(Widget):
    """Takes no place on the screen; posts what was found to it."""

    @dataclass
    class Answered(Message):
        """The newest question has its answer."""

        found: Found

    @dataclass
    class Failed(Message):
        """The index cannot be asked."""

        error: BenchloreError

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._newest = 0

    def ask(self, text: str, filters: Filters | None, dropped: Keys = frozenset()) -> None:
        """Search for `text` without the conditions `dropped`.

        Without an open index nothing happens: ask again when there is one.
        """
        self._newest += 1
        if self._session.is_open:
            self._find(self._newest, text, filters, dropped)

    @work(thread=True, exclusive=True, group="search")
    def _find(self, number: int, text: str, filters: Filters | None, dropped: Keys) -> None:
        if number != self._newest:
            return
        try:
            found = self._session.find(text, filters, dropped)
        except BenchloreError as error:
            self.post_message(self.Failed(error))
            return
        if number == self._newest:
            self.post_message(self.Answered(found))
