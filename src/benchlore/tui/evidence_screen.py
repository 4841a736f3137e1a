"""What the close and related cases add up to, row by row, each row with its source notes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from textual import events, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from benchlore.errors import BenchloreError
from benchlore.tui.base import Page
from benchlore.tui.brief_dialog import BriefDialog
from benchlore.tui.display import Shown, hanging, line, row, rows, say
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine
from benchlore.tui.note_pane import Wanted
from benchlore.tui.note_screen import NoteScreen
from benchlore.tui.result_dialog import ResultDialog
from benchlore.tui.session import Session
from benchlore.tui.sources_dialog import SourcesDialog

if TYPE_CHECKING:
    from benchlore.evidence.model import Evidence, Source
    from benchlore.evidence.telling import Row, Section
    from benchlore.search.results import Answer

CAUTION_ROWS, ROOMY_CAUTION_ROWS = 3, 10
ROOMY_HEIGHT = 36
MARGIN, INDENT = 6, 4
"""Cells of a row that no text gets: border and scroll bar; and what a row of more is set in."""


class EvidenceList(OptionList):
    """Headings and rows; only rows can be marked."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "select", "Source", id="evidence.open", tooltip="Open the source note"),
    ]


class EvidenceScreen(Page):
    """Causes, conditions, what to check next, findings, repair routes."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "What past cases add up to",
        (
            "Close and related cases, the nearer counting more. Each row stands in notes: Enter"
            " opens them at the line.",
            "bits say how much a check is expected to narrow the causes: 1 bit halves them. Below a"
            " check stands what each result would mean. It is counted on few cases: a pointer, no"
            " proof.",
            "r enters what you found, for the check of the marked row: ok, not ok or a value with"
            " its unit. Causes and next check are worked out again; u takes the last result back.",
            "Two wordings put together that are two causes? a shows the marked cause as written.",
            "A share is given with the range in which it may well lie (95 %, Jeffreys).",
        ),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("r", "result", "Result", id="evidence.result", tooltip="Enter what you found"),
        Binding("u", "undo", "Take back", id="evidence.undo", tooltip="Take the last result back"),
        Binding("a", "apart", "Apart", id="evidence.apart",
                tooltip="Show the marked cause as written, or put together again"),
        Binding("tab", "part", "Next part", id="evidence.part", tooltip="Go to the next heading"),
        Binding("b", "brief", "Brief", id="evidence.brief", tooltip="One page for the job card"),
        Binding("f3", "cautions", "Cautions", id="evidence.cautions", tooltip="All cautions"),
    ]  # fmt: skip

    def __init__(self, session: Session, answer: Answer) -> None:
        super().__init__()
        self._session = session
        self._answer = answer
        self._found: tuple[str, ...] = ()
        self._apart: frozenset[str] = frozenset()
        self._evidence: Evidence | None = None
        self._rows: list[Row | None] = []
        self._width = 0
        self._drawn: int | None = None

    def compose(self) -> ComposeResult:
        """Heading, cautions, rows."""
        yield Shown(
            row("Adding up the cases ...", "bold"), id="evidence-heading", classes="heading"
        )
        yield Shown(id="evidence-cautions")
        yield EvidenceList(id="evidence-list")
        yield KeyLine()

    def on_mount(self) -> None:
        """Work it out."""
        self.query_one(EvidenceList).focus()
        self._work_out()

    def on_resize(self, event: events.Resize) -> None:
        """The strips are drawn to the width."""
        if self._evidence is not None and event.size.width != self._width:
            self._show(self._evidence)

    # what the user does

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Open the source of a row; where there are several, ask which."""
        marked = self._rows[event.option_index]
        sources = tuple(dict.fromkeys(marked.sources)) if marked else ()
        if len(sources) == 1:
            self._open(sources[0])
        elif sources:
            self.app.push_screen(SourcesDialog(sources), self._open)

    def action_result(self) -> None:
        """Enter a result for the check of the marked row."""
        marked = self._marked
        self.app.push_screen(ResultDialog(marked.check if marked else ""), self._take_result)

    def action_undo(self) -> None:
        """Take the last result back."""
        if self._found:
            self._found = self._found[:-1]
            self._work_out()
        else:
            say(self.app, "No result has been entered.")

    def action_apart(self) -> None:
        """Show the marked cause as it is written, or put it together again."""
        marked = self._marked
        if marked is None or not marked.cause:
            say(self.app, "Mark a cause first.")
        elif self._apart:
            self._apart = frozenset()
            self._work_out()
        else:
            self._apart = frozenset({marked.cause})
            self._work_out()

    def action_part(self) -> None:
        """Mark the first row below the next heading, round and round."""
        choices = self.query_one(EvidenceList)
        heads = [place for place, each in enumerate(self._rows) if each is None]
        if heads:
            here = choices.highlighted or 0
            choices.highlighted = next((place for place in heads if place > here), heads[0]) + 1
            choices.scroll_to_highlight(top=True)

    def action_brief(self) -> None:
        """Write the job brief."""
        if self._evidence is not None:
            self.app.push_screen(BriefDialog(self._answer, self._evidence))

    def action_cautions(self) -> None:
        """Show all cautions."""
        if self._evidence is not None:
            from benchlore.tui.cautions_screen import CautionsScreen

            self.app.push_screen(CautionsScreen("all these cases", self._evidence.cautions))

    @property
    def _marked(self) -> Row | None:
        place = self.query_one(EvidenceList).highlighted
        return self._rows[place] if place is not None else None

    def _take_result(self, text: str | None) -> None:
        if text:
            self._found = (*self._found, text)
            self._work_out()

    def _open(self, source: Source | None) -> None:
        if source is not None:
            wanted = Wanted(source.file, line=source.first_line)
            self.app.push_screen(NoteScreen(self._session, wanted))

    # what comes back

    @work(thread=True, exclusive=True, group="evidence")
    def _work_out(self) -> None:
        try:
            evidence = self._session.sum_up(self._answer, self._found, self._apart)
        except BenchloreError as error:
            self.app.call_from_thread(self._fail, error)
        else:
            self.app.call_from_thread(self._show, evidence)

    def _fail(self, error: BenchloreError) -> None:
        self.query_one("#evidence-heading", Shown).show(line(f"{error}. {error.todo}", "bold"))

    def _show(self, evidence: Evidence) -> None:
        from benchlore.evidence.telling import basis_line, sections
        from benchlore.tui.case_text import caution_block

        self._evidence = evidence
        self._width = self.app.size.width
        heading = f"What past cases say, {basis_line(evidence)}"
        self.query_one("#evidence-heading", Shown).show(line(heading, "bold"))
        roomy = self.app.size.height >= ROOMY_HEIGHT
        most = ROOMY_CAUTION_ROWS if roomy else CAUTION_ROWS
        # The standing line has a row of its own: it must not be the one that is cut.
        block = caution_block(replace(evidence.cautions, standing=""), self._width - 2, most)
        standing = line(f" ! {evidence.cautions.standing}", "$warning")
        self.query_one("#evidence-cautions", Shown).show(rows((block, standing)))
        self._list(sections(evidence, self._width - MARGIN - INDENT))

    def _list(self, made: tuple[Section, ...]) -> None:
        """Fill the list; the mark stays about where it was."""
        choices = self.query_one(EvidenceList)
        before = choices.highlighted or 1
        choices.clear_options()
        self._rows = []
        for section in made:
            choices.add_option(Option(line(section.title, "bold underline"), disabled=True))
            self._rows.append(None)
            choices.add_options(Option(self._text(each)) for each in section.rows)
            self._rows.extend(section.rows)
        self._drawn = None
        if self._rows:
            choices.highlighted = min(before, len(self._rows) - 1)

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Move the mark: how a list shows it by itself is lost on a plain terminal."""
        for place in {self._drawn, event.option_index} - {None}:
            said = self._rows[place] if place is not None and place < len(self._rows) else None
            if place is not None and said is not None:
                text = self._text(said, place == event.option_index)
                event.option_list.replace_option_prompt_at_index(place, text)
        self._drawn = event.option_index

    def _text(self, said: Row, marked: bool = False) -> Content:
        return row_text(said, marked, max(self._width - MARGIN, 1))


def row_text(said: Row, marked: bool, width: int) -> Content:
    """A row of the list, set in below what it tells more of; `>` stands before the marked one."""
    lead = ("  > " if said.depth else "> ") if marked else ("    " if said.depth else "- ")
    return hanging(row(lead, "bold" if marked else ""), line(said.text), width)
