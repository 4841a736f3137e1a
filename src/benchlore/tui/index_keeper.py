"""Opens the index, brings it up to date in the background, and says how it stands.

While the program runs, notes that change on disk are found at once: they are brought into the open
index, and a build puts them on disk a little later.
"""

from __future__ import annotations

import contextvars
import threading
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from textual import work
from textual.message import Message
from textual.timer import Timer
from textual.widget import Widget

from benchlore.errors import BenchloreError, IndexNewer
from benchlore.tui.build_job import BuildEnd, BuildJob
from benchlore.tui.session import Opened, Session
from benchlore.tui.words import found_now_words, progress_words

if TYPE_CHECKING:
    from benchlore.index.live import BroughtIn

BUSY_AGAIN_S = 3.0
"""Without an index, another program's build is waited for by looking again this often."""


AFTER_OPENING_S = 0.7
"""What is not urgent waits so long: the first answer must not share the processor with it."""


WRITE_AFTER_S = 3.0
"""Notes brought in are put on disk by a build when none has changed for so long."""

WRITE_AGAIN_S = 15.0
"""The same, where another program was building."""

MOST_BROUGHT_IN = 50
"""More notes than these at once (a pull, a restored folder) are left to a build: bringing them in
would keep the processor from the search for seconds."""


@dataclass(frozen=True, slots=True)
class IndexState:
    """How the index stands. `what` and `todo` say why there is none; the rest is as in `Status`."""

    opening: bool = True
    notes: int | None = None
    words_only: str = ""
    need_a_look: int | None = None
    building: str = ""
    notice: str = ""
    what: str = ""
    todo: str = ""


class IndexKeeper(Widget):
    """Takes no place on the screen; posts every change to it."""

    @dataclass
    class Changed(Message):
        """The index stands differently now."""

        state: IndexState

    class Ready(Message):
        """An index was opened: questions can be asked, or must be asked again."""

    def __init__(self, session: Session, renew: bool = True) -> None:
        """`renew`: look for changed notes, after the first opening and from then on."""
        super().__init__()
        self.session = session
        self._renew = renew
        self._state = IndexState()
        self._job: BuildJob | None = None
        self._rebuilt = False
        self._quiet = False
        self._watching = threading.Event()
        self._ended = threading.Event()
        self._writing: Timer | None = None

    def open(self) -> None:
        """Open the index in force."""
        self._set(opening=not self.session.is_open)
        self._open()

    def build(self) -> None:
        """Bring the index up to date, unless that is going on already."""
        self._quiet = False
        if self._job is None:
            self._job = BuildJob(self.session.shop)
            self._set_building("bringing the index up to date")
            self._run(self._job)

    def note_saved(self, path: str) -> None:
        """Find the note at `path`, relative to the shop, which this program has just written."""
        if self.session.is_open:
            self._bring_in(frozenset([path]), certain=True)
        else:
            self.build()

    def stop(self) -> None:
        """Stop bringing it up to date; the index in force stays."""
        if self._job is not None:
            self._job.stop()

    def give_up(self, error: BenchloreError) -> None:
        """Use the index no more, for the reason `error`, and make it anew."""
        self.session.give_up()
        self._unusable(error)

    def on_unmount(self) -> None:
        """Leave no build behind."""
        self._ended.set()
        self.stop()

    @work(thread=True, exclusive=True, group="open")
    def _open(self) -> None:
        try:
            opened = self.session.open()
        except BenchloreError as error:
            self._tell(self._unusable, error)
        else:
            # Imported in this thread, so that the first answer need not wait for it.
            import benchlore.tui.case_text
            import benchlore.tui.document  # noqa: F401

            self._tell(self._opened, opened)

    def _opened(self, opened: Opened) -> None:
        self._set(opening=False, notes=opened.notes, words_only=opened.words_only, what="", todo="")
        self.post_message(self.Ready())
        self.set_timer(AFTER_OPENING_S, self._after_opening)

    def _after_opening(self) -> None:
        self._count_need_a_look()
        if self._renew and not self._watching.is_set():
            self._watching.set()
            # No worker: it ends with the program only, and workers are waited for.
            in_context = contextvars.copy_context().run
            threading.Thread(target=in_context, args=(self._watch,), daemon=True).start()
            self.build()
        elif self.session.is_ahead:
            self._write_later(WRITE_AFTER_S)

    def _watch(self) -> None:
        # Imported here and in a thread: the first paint and the first answer must not wait for it.
        import benchlore.index.live  # noqa: F401
        from benchlore.index.watching import watch

        try:
            known = self.session.store.files()
        except BenchloreError:
            return  # the next search meets it too, and says so
        for paths in watch(self.session.shop.root, self._ended, known):
            self._tell(self._changed_on_disk, paths)

    def _changed_on_disk(self, paths: frozenset[str]) -> None:
        if len(paths) > MOST_BROUGHT_IN:
            self.build()
        elif self.session.is_open:
            self._bring_in(paths)

    @work(thread=True, group="bring-in")
    def _bring_in(self, paths: Iterable[str], certain: bool = False) -> None:
        try:
            changed = self.session.refresh(paths, certain)
        except BenchloreError as error:
            self._tell(self._not_brought_in, error)
        except Exception:
            # Memory or a fault of ours: somebody may be typing. A build says what is wrong.
            self._tell(self.build)
        else:
            self._tell(self._brought_in, changed)

    def _brought_in(self, changed: BroughtIn) -> None:
        if changed.again:
            from benchlore.index.live import AGAIN_S

            self.set_timer(AGAIN_S, lambda: self._bring_in(changed.again))
        if changed.count:
            words = found_now_words(len(changed.found), len(changed.gone))
            self._set(notes=self.session.store.note_count(), notice=words)
            self.post_message(self.Ready())
        if changed.count or changed.troubles:
            self._count_need_a_look()
            self._write_later(WRITE_AFTER_S)

    def _not_brought_in(self, error: BenchloreError) -> None:
        if self.session.is_open:
            self.give_up(error)

    def _write_later(self, seconds: float) -> None:
        if self._writing is not None:
            self._writing.stop()
        self._writing = self.set_timer(seconds, self._write)

    def _write(self) -> None:
        """Have a build put on disk what was brought in; nobody need wait for it or watch it."""
        if self._job is not None:
            self._write_later(WRITE_AFTER_S)
        elif self.session.is_ahead:
            self._quiet = True
            self._job = BuildJob(self.session.shop)
            self._run(self._job)

    def _unusable(self, error: BenchloreError) -> None:
        self._set(opening=False, notes=None, what=str(error), todo=error.todo, notice=str(error))
        # Once only: should the new one be unusable too, the user is told and decides.
        if not isinstance(error, IndexNewer) and not self._rebuilt:
            self._rebuilt = True
            self.build()

    @work(thread=True, group="build")
    def _run(self, job: BuildJob) -> None:
        for event in job.run():
            if isinstance(event, BuildEnd):
                self._tell(self._built, event)
            else:
                self._tell(self._set_building, progress_words(event))

    def _set_building(self, words: str) -> None:
        if not self._quiet:
            self._set(building=words)

    def _built(self, end: BuildEnd) -> None:
        self._job = None
        if self._quiet and end.error == "Busy":
            self._write_later(WRITE_AGAIN_S)
            return
        notice = _notice(end, self.session.is_open)
        if self._quiet and not notice:
            notice = self._state.notice  # what was found stays said
        self._set(building="", notice=notice)
        if (
            end.published
            or self.session.is_behind
            or (not end.error and not end.stopped and not self.session.is_open)
        ):
            self.open()
        elif not self.session.is_open:
            if end.error == "Busy":
                self.set_timer(BUSY_AGAIN_S, self.build)
            elif end.stopped:
                self._set(what="no index: making it was stopped", todo="F5 goes on with it")
            elif end.error:
                self._set(what=end.what, todo=end.todo)

    @work(thread=True, exclusive=True, group="look")
    def _count_need_a_look(self) -> None:
        try:
            # Imported here: it brings the store along; the first paint must not wait.
            from benchlore.index.problems import all_problems
            from benchlore.notes.problems import file_count

            count = file_count(all_problems(self.session.store))
        except BenchloreError:
            return  # the next search meets it too, and says so
        self._tell(self._set_need_a_look, count)

    def _set_need_a_look(self, count: int) -> None:
        self._set(need_a_look=count)

    def _set(self, **changes: object) -> None:
        self._state = replace(self._state, **changes)  # type: ignore[arg-type]  # its fields
        self.post_message(self.Changed(self._state))

    def _tell(self, method: object, *args: object) -> None:
        """Call `method` in the program's own thread; from a thread that does not wait for it."""
        self.call_later(method, *args)  # type: ignore[arg-type]


def _notice(end: BuildEnd, is_open: bool) -> str:
    """What the status line says after a build."""
    if end.stopped:
        return "stopped: the index is as it was, F5 goes on"
    if not end.error or (end.error == "Busy" and is_open):
        return end.warning
    if end.error == "Busy":
        return f"{end.what}: waiting for it"
    return f"{end.what}; {end.todo}" if end.todo and is_open else end.what
