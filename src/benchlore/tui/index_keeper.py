"""Opens the index, brings it up to date in the background, and says how it stands."""

from __future__ import annotations

from dataclasses import dataclass, replace

from textual import work
from textual.message import Message
from textual.widget import Widget

from benchlore.errors import BenchloreError, IndexNewer
from benchlore.tui.build_job import BuildEnd, BuildJob
from benchlore.tui.session import Opened, Session
from benchlore.tui.words import progress_words

BUSY_AGAIN_S = 3.0
"""Without an index, another program's build is waited for by looking again this often."""


AFTER_OPENING_S = 0.7
"""What is not urgent waits so long: the first answer must not share the processor with it."""


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
        """`renew`: look for changed notes after the first opening."""
        super().__init__()
        self.session = session
        self._renew = renew
        self._state = IndexState()
        self._job: BuildJob | None = None
        self._rebuilt = False

    def open(self) -> None:
        """Open the index in force."""
        self._set(opening=True)
        self._open()

    def build(self) -> None:
        """Bring the index up to date, unless that is going on already."""
        if self._job is None:
            self._job = BuildJob(self.session.shop)
            self._set(building="bringing the index up to date")
            self._run(self._job)

    def note_saved(self, path: str) -> None:
        """Make the note at `path` findable: it has just been written."""
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
        if self._renew:
            self._renew = False
            self.build()

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
        self._set(building=words)

    def _built(self, end: BuildEnd) -> None:
        self._job = None
        self._set(building="", notice=_notice(end, self.session.is_open))
        if end.published or (not end.error and not end.stopped and not self.session.is_open):
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
        return ""
    if end.error == "Busy":
        return f"{end.what}: waiting for it"
    return f"{end.what}; {end.todo}" if end.todo and is_open else end.what
