"""A source note, and the row above it that says where it lies."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from textual import work
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.message import Message

from benchlore.errors import BenchloreError
from benchlore.tui.display import Shown, joined, row
from benchlore.tui.note_view import NoteView
from benchlore.tui.words import passage_words

if TYPE_CHECKING:
    from benchlore.search.results import Hit
    from benchlore.tui.document import Document


@dataclass(frozen=True, slots=True)
class Wanted:
    """The note to show: at the best passage of `hit` where there is one, else at `line`."""

    path: str
    hit: Hit | None = None
    line: int = 1


class NotePane(Vertical):
    """Reads a note from disk, in a thread, and shows it."""

    @dataclass
    class Read(Message):
        """The note is on the screen."""

        document: Document

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._wanted: Wanted | None = None
        self._stop = 0
        self._changed = False
        self._lead = ""

    def compose(self) -> ComposeResult:
        """Path, then note."""
        yield Shown(id="note-path")
        yield NoteView(id="note")

    def show(self, root: Path, wanted: Wanted) -> None:
        """Show the `wanted` note of the shop at `root`, unless it is on the screen already."""
        if self._wanted is None or _what(wanted) != _what(self._wanted):
            self._wanted = wanted
            self._read(root, wanted)

    def step(self, by: int) -> None:
        """Go to the next (1) or previous (-1) matched passage, round and round."""
        view = self.query_one(NoteView)
        if view.stops:
            self._stop = (self._stop + by) % len(view.stops)
            view.go_to_line(view.stops[self._stop])
            self._show_path()

    def lead(self, text: str) -> None:
        """Say `text` first in the row of the path."""
        self._lead = text
        self._show_path()

    @work(thread=True, exclusive=True, group="note")
    def _read(self, root: Path, wanted: Wanted) -> None:
        # Imported here: it brings the Markdown reader along; the first paint must not wait.
        from benchlore.tui.document import read_document

        try:
            document = read_document(root, wanted.path)
        except BenchloreError as error:
            self.call_later(self._show_error, wanted, error)
        else:
            self.call_later(self._show_document, wanted, document)

    def _show_document(self, wanted: Wanted, document: Document) -> None:
        if wanted is not self._wanted:
            return
        from benchlore.notes import Lines

        view = self.query_one(NoteView)
        hits = wanted.hit.passages if wanted.hit else ()
        view.show_document(document, [Lines(each.first_line, each.last_line) for each in hits])
        if hits:
            self._stop = view.stops.index(hits[0].first_line)
        else:
            view.go_to_line(wanted.line)
        self._changed = wanted.hit is not None and document.note.digest != wanted.hit.note.digest
        self._show_path()
        self.post_message(self.Read(document))

    def _show_path(self) -> None:
        if self._wanted is not None:
            view = self.query_one(NoteView)
            words = passage_words(self._stop, view.stops, self._changed)
            path = row(self._wanted.path, "bold")
            lead = row("".join(f"{said} | " for said in (self._lead, words) if said))
            self.query_one("#note-path", Shown).show(joined((lead, path)))

    def _show_error(self, wanted: Wanted, error: BenchloreError) -> None:
        if wanted is self._wanted:
            self.query_one("#note-path", Shown).show(row(wanted.path, "bold"))
            self.query_one(NoteView).show_message(f"{error}\n{error.todo}")


def _what(wanted: Wanted) -> tuple[object, ...]:
    """What decides how a note looks here: not its score, which other notes change."""
    hit = wanted.hit
    marked = hit and (hit.note.digest, [(p.first_line, p.last_line) for p in hit.passages])
    return wanted.path, wanted.line, marked
