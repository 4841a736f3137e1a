"""All cautions of one note, its own first."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.containers import VerticalScroll

from benchlore.tui.base import Page
from benchlore.tui.display import Shown, line, row
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine

if TYPE_CHECKING:
    from benchlore.notes import Note


class CautionsScreen(Page):
    """The note's own cautions, then the usual ones of its system."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Cautions",
        (
            "!! marks what the note itself warns of, ! what is usual with its system:"
            " common practice.",
            "The maker's instructions, local law and licensed people come before all of it.",
        ),
    )

    def __init__(self, note: Note | None) -> None:
        super().__init__()
        self._note = note

    def compose(self) -> ComposeResult:
        """The list."""
        from benchlore.evidence.cautions import cautions_of, standing_line
        from benchlore.tui.case_text import Said, caution_lines, lines_text, symptom_of

        if self._note is None:
            heading = row("No case is selected: nothing is known of its own cautions.", "bold")
            said = [Said(" ! ", standing_line())]
        else:
            heading = line(f"Cautions - {symptom_of(self._note)}", "bold")
            said = list(caution_lines(cautions_of(self._note), True))
        yield Shown(heading, classes="heading")
        with VerticalScroll():
            yield Shown(lines_text(said, self.app.size.width - 4), id="cautions-text")
        yield KeyLine()

    def on_mount(self) -> None:
        """Scroll by keys at once."""
        self.query_one(VerticalScroll).focus()
