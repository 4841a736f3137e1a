"""All cautions of one note or of several, their own first."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.containers import VerticalScroll

from benchlore.tui.base import Page
from benchlore.tui.display import Shown, line, row
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine

if TYPE_CHECKING:
    from benchlore.evidence.cautions import Cautions
    from benchlore.notes import Note


class CautionsScreen(Page):
    """Own cautions, then the usual ones of the system."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Cautions",
        (
            "!! marks what the note itself warns of, ! what is usual with its system:"
            " common practice.",
            "The maker's instructions, local law and licensed people come before all of it.",
        ),
    )

    def __init__(self, about: str, cautions: Cautions | None) -> None:
        """`about` says whose cautions they are; None: nothing is selected."""
        super().__init__()
        self._about = about
        self._cautions = cautions

    def compose(self) -> ComposeResult:
        """The list."""
        from benchlore.evidence.cautions import standing_line
        from benchlore.tui.case_text import Said, caution_lines, lines_text

        if self._cautions is None:
            heading = row("No case is selected: nothing is known of its own cautions.", "bold")
            said = [Said(" ! ", standing_line())]
        else:
            heading = line(f"Cautions - {self._about}", "bold")
            said = list(caution_lines(self._cautions, True))
        yield Shown(heading, classes="heading")
        with VerticalScroll():
            yield Shown(lines_text(said, self.app.size.width - 4), id="cautions-text")
        yield KeyLine()

    def on_mount(self) -> None:
        """Scroll by keys at once."""
        self.query_one(VerticalScroll).focus()


def cautions_screen(note: Note | None) -> CautionsScreen:
    """The cautions of one note; None: no note is selected."""
    if note is None:
        return CautionsScreen("", None)
    from benchlore.evidence.cautions import cautions_of
    from benchlore.tui.case_text import symptom_of

    return CautionsScreen(symptom_of(note), cautions_of(note))
