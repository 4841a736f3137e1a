"""The main screen: a symptom is typed, the nearest cases appear, the selected one is readable."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container, Horizontal, Vertical, VerticalScroll
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Input

from benchlore.tui.case_list import CaseList
from benchlore.tui.closest_line import ClosestLine
from benchlore.tui.display import Shown, row, say
from benchlore.tui.help_text import HelpText
from benchlore.tui.idle import Situation
from benchlore.tui.idle_pane import IdlePane
from benchlore.tui.index_keeper import IndexKeeper
from benchlore.tui.key_line import KeyLine
from benchlore.tui.note_pane import NotePane, Wanted
from benchlore.tui.reading_line import ReadingLine
from benchlore.tui.searcher import Searcher
from benchlore.tui.status_line import StatusLine
from benchlore.tui.symptom_line import SymptomLine
from benchlore.tui.words import filter_words

if TYPE_CHECKING:
    from benchlore.index.stored import Filters
    from benchlore.search.results import Answer, Hit
    from benchlore.tui.understood import Keys

TYPING_PAUSE_S = 0.2
"""A search waits until nothing has been typed for so long."""

ROOMY_HEIGHT = 36
"""Rows from which all cautions are shown beside the findings."""


class FindScreen(Screen[None]):
    """Symptom line, status, list, findings, source note."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Find past cases",
        (
            "Type the symptom the way you would say it. The nearest cases appear while you type; Up"
            " and Down choose one, Enter opens its source note.",
            "Cautions stand before the findings. Where there is little room, F3 shows all.",
            "Say when it shows and when it does not, where it comes from, what was done before: two"
            " faults with the same noise differ in exactly that.",
            "F7 adds up what the close cases say: causes, findings beside their limits, what to"
            " check next, what repairs cost.",
            "read as: shows what was understood of that. Ctrl+R drops a part that was misread.",
        ),
    )
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (100, "-wide")]  # noqa: RUF012  # as Textual declares it
    VERTICAL_BREAKPOINTS = [(0, "-low"), (ROOMY_HEIGHT, "-roomy")]  # noqa: RUF012
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "open_note", "Note", id="find.open", tooltip="Open the source note"),
        Binding("f2", "filters", "Narrow", id="find.filters", tooltip="Narrow the search"),
        Binding(
            "f3", "cautions", "Cautions", id="find.cautions", tooltip="All cautions of this case"
        ),
        Binding(
            "f7", "evidence", "Add up", id="find.evidence", tooltip="What past cases add up to"
        ),
        Binding("f8", "app.write", "Write", id="find.write", tooltip="Write up a case"),
        Binding(
            "f9",
            "app.due",
            "Due",
            id="find.due",
            tooltip="Cases whose outcome is open or not confirmed",
        ),
        Binding("ctrl+r", "reading", "Read as", id="find.reading", tooltip="Drop what was misread"),
        Binding("f4", "look", "Mend", id="find.look", tooltip="Notes that need a look"),
        Binding("up", "step(-1)", "Case up", show=False, id="find.up"),
        Binding("down", "step(1)", "Case down", show=False, id="find.down"),
        Binding("pageup", "page(-1)", "Findings: page up", show=False, id="find.pageup"),
        Binding("pagedown", "page(1)", "Findings: page down", show=False, id="find.pagedown"),
        Binding("ctrl+up", "passage(-1)", "Matching passage before", show=False, id="find.before"),
        Binding("ctrl+down", "passage(1)", "Next matching passage", show=False, id="find.next"),
        Binding("f5", "renew", "Bring the index up to date", show=False, id="find.renew"),
        Binding("f6", "stop", "Stop bringing it up to date", show=False, id="find.stop"),
        Binding(
            "escape",
            "clear",
            "Back to the symptom line, then empty it",
            show=False,
            id="find.clear",
        ),
    ]

    def __init__(self, keeper: IndexKeeper, searcher: Searcher) -> None:
        super().__init__()
        self._keeper = keeper
        self._searcher = searcher
        self._filters: Filters | None = None
        self._pause: Timer | None = None
        self._dropped: Keys = frozenset()
        self._failed = ("", "")
        self._waiting = False
        self._answer: Answer | None = None
        self._asked: tuple[object, ...] = ()
        self._answered: tuple[object, ...] = ()
        self._shown_path = ""

    def compose(self) -> ComposeResult:
        """Lay out the screen."""
        yield self._keeper
        yield self._searcher
        with Horizontal(id="top"):
            yield Shown(row("Symptom "), id="label")
            yield SymptomLine()
        yield ReadingLine(id="reading")
        yield StatusLine(id="status")
        yield ClosestLine(id="closest")
        with Container(id="results"):
            yield CaseList(id="cases")
            with Vertical(id="detail"):
                yield Shown(id="job")
                with VerticalScroll(id="findings"):
                    yield Shown(id="findings-text")
                yield NotePane(id="source")
        yield IdlePane(id="idle")
        yield KeyLine()

    def on_mount(self) -> None:
        """Show something at once; read the index once it is on the screen."""
        self.query_one(SymptomLine).focus()
        self._show_idle()
        self.call_after_refresh(self._keeper.open)

    # what the user does

    def on_input_changed(self, event: Input.Changed) -> None:
        """Search when the typing pauses."""
        self._waiting = True
        if self._pause is not None:
            self._pause.stop()
        self._pause = self.set_timer(TYPING_PAUSE_S, self.search)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Enter in the symptom line."""
        self.action_open_note()

    def action_step(self, by: int) -> None:
        """Select the case above or below."""
        self.query_one(CaseList).step(by)

    def action_page(self, by: int) -> None:
        """Scroll the findings."""
        findings = self.query_one("#findings", VerticalScroll)
        findings.scroll_relative(y=by * max(findings.size.height - 1, 1), animate=False)

    def action_passage(self, by: int) -> None:
        """Go to another matched passage of the source note."""
        self.query_one(NotePane).step(by)

    def action_open_note(self) -> None:
        """Open the source note of the selected case."""
        hit = self.query_one(CaseList).hit
        if hit is not None:
            # Imported here, like the other screens: the first paint must not wait for them.
            from benchlore.tui.note_screen import NoteScreen

            self.app.push_screen(NoteScreen(self._keeper.session, Wanted(hit.note.path, hit)))

    def action_cautions(self) -> None:
        """Show all cautions of the selected case."""
        from benchlore.tui.cautions_screen import cautions_screen

        hit = self.query_one(CaseList).hit
        self.app.push_screen(cautions_screen(hit.note if hit else None))

    def action_evidence(self) -> None:
        """Show what the close and related cases add up to."""
        if self._answer is not None and self._answer.behind:
            from benchlore.tui.evidence_screen import EvidenceScreen

            self.app.push_screen(EvidenceScreen(self._keeper.session, self._answer))
        else:
            say(self.app, "No case is close or related: nothing to add up.")

    def action_look(self) -> None:
        """List the notes that need a look."""
        from benchlore.tui.look_screen import LookScreen

        self.app.push_screen(LookScreen(self._keeper.session))

    def action_filters(self) -> None:
        """Ask what the search is to be narrowed to."""
        from benchlore.tui.filter_dialog import FilterDialog

        self.app.push_screen(FilterDialog(self._keeper.session, self._filters), self._take_filters)

    def action_reading(self) -> None:
        """Show the conditions as read, to drop one that was misread."""
        from benchlore.tui.reading_dialog import ReadingDialog

        understood = self.query_one(ReadingLine).understood
        self.app.push_screen(ReadingDialog(understood), self._take_dropped)

    def action_renew(self) -> None:
        """Bring the index up to date now."""
        self._keeper.build()

    def action_stop(self) -> None:
        """Stop bringing the index up to date."""
        self._keeper.stop()

    def action_clear(self) -> None:
        """Back to the symptom line; there, empty it."""
        symptom = self.query_one(SymptomLine)
        if symptom.has_focus:
            symptom.value = ""
        symptom.focus()

    def _take_filters(self, filters: Filters | None) -> None:
        if filters is not None:
            self._filters = filters if filters.any else None
            self._set_status(filters=filter_words(self._filters))
            self.search()

    def _take_dropped(self, dropped: Keys | None) -> None:
        if dropped is not None and dropped != self._dropped:
            self._dropped = dropped
            self.search()

    # what comes back

    def search(self) -> None:
        """Ask for what is typed now."""
        text = self.query_one(SymptomLine).value
        self._asked = (text, self._filters, self._dropped)
        self._searcher.ask(text, self._filters, self._dropped)

    def on_searcher_answered(self, event: Searcher.Answered) -> None:
        """Show what was found."""
        self._waiting = False
        answer, understood = event.found.answer, event.found.understood
        self._answer = answer
        self._dropped = understood.dropped
        self.query_one(ReadingLine).understood = understood if answer else None
        self.query_one(ClosestLine).show_answer(answer, filter_words(self._filters))
        cases = self.query_one(CaseList)
        found = answer is not None and bool(answer.cases or answer.articles)
        self.set_class(found, "-found")
        if found and answer is not None:
            cases.show_answer(answer, again=self._asked == self._answered)
        else:
            cases.clear()
            self._show_idle()
        self._answered = self._asked
        self.refresh_bindings()

    def on_searcher_failed(self, event: Searcher.Failed) -> None:
        """The index has turned out not to be usable: make it anew."""
        self._keeper.give_up(event.error)

    def on_case_list_selected(self, event: CaseList.Selected) -> None:
        """Show the findings and the source note of the selected result."""
        if self.query_one("#findings-text").size.width:
            self._show_detail(event.hit)
        else:  # not laid out yet: how wide it will be is known after that
            self.call_after_refresh(self._show_detail, event.hit)
        if event.hit.note.path != self._shown_path:  # who reads on while notes change stays there
            self.query_one("#findings").scroll_home(animate=False)
        self._shown_path = event.hit.note.path
        if event.open:
            self.action_open_note()

    def on_index_keeper_changed(self, event: IndexKeeper.Changed) -> None:
        """The index was opened, lost, or is further on."""
        state = event.state
        self._set_status(
            opening=state.opening,
            notes=state.notes,
            building=state.building,
            words_only=state.words_only,
            need_a_look=state.need_a_look,
            notice=state.notice,
        )
        self._failed = (state.what, state.todo)
        self.app.words_only = bool(state.words_only)  # type: ignore[attr-defined]  # BenchloreApp
        if not self.has_class("-found"):
            self._show_idle()

    def on_index_keeper_ready(self) -> None:
        """Answer what has been typed so far, or again."""
        self.search()

    def on_resize(self, event: events.Resize) -> None:
        """Room for all cautions may have come or gone."""
        hit = self.query_one(CaseList).hit
        if hit is not None:
            self.call_after_refresh(self._show_detail, hit)

    def _show_detail(self, hit: Hit) -> None:
        from benchlore.tui.case_text import findings_text, job_row

        currency = self._keeper.session.shop.settings.currency
        roomy = self.app.size.height >= ROOMY_HEIGHT
        text = self.query_one("#findings-text", Shown)
        text.show(findings_text(hit, currency, roomy, text.size.width or self.app.size.width))
        job = self.query_one("#job", Shown)
        job.show(job_row(hit, job.size.width or self.app.size.width))
        pane = self.query_one(NotePane)
        if pane.display:
            pane.show(self._keeper.session.shop.root, Wanted(hit.note.path, hit))

    def _show_idle(self) -> None:
        status = self.query_one(StatusLine).status
        what, todo = self._failed
        typed = any(char.isalnum() for char in self.query_one(SymptomLine).value)
        situation = Situation(
            typed, status.notes, what, todo, status.building, status.filters, self._waiting
        )
        self.query_one(IdlePane).show(situation)

    def _set_status(self, **changes: object) -> None:
        line = self.query_one(StatusLine)
        line.status = replace(line.status, **changes)  # type: ignore[arg-type]  # fields of Status
