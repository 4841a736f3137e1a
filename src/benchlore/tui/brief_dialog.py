"""Asks where the job brief is to be written, and writes it."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.widgets import Input

from benchlore.tui.base import Dialog
from benchlore.tui.display import Shown, line, row, say
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine
from benchlore.tui.safe_input import SafeInput

if TYPE_CHECKING:
    from benchlore.evidence.model import Evidence
    from benchlore.search.results import Answer

NAME = "job-brief.html"


class BriefField(SafeInput):
    """Where the brief goes."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "submit", "Write it", id="brief.write", tooltip="Write the page"),
    ]


class BriefDialog(Dialog[None]):
    """Writes a new file; one that is there is never overwritten."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Job brief",
        (
            "One page for the job card: symptom, cautions, causes, checks with limits, repair"
            " routes, source notes. A name that ends in .html makes a page to print, any other"
            " Markdown.",
            "Telephone numbers, names behind Mr or customer and the like are taken out; read it"
            " before it leaves the workshop all the same.",
        ),
    )

    def __init__(self, answer: Answer, evidence: Evidence) -> None:
        super().__init__()
        self._answer = answer
        self._evidence = evidence

    def compose(self) -> ComposeResult:
        """The field and a row for what is wrong."""
        with Vertical(classes="window"):
            yield Shown(row("Write the job brief to", "bold"))
            yield BriefField(id="brief")
            yield Shown(line("A new file; .html makes a page to print"), id="brief-wrong")
            yield KeyLine()

    def on_mount(self) -> None:
        """Offer a name in the folder the program was started in."""
        field = self.query_one(BriefField)
        field.value = str(Path.cwd() / NAME)
        field.focus()
        field.action_end()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Write it."""
        from benchlore.evidence.brief import brief_html, brief_markdown

        path = Path(os.path.expanduser(event.value.strip()))
        make = brief_html if path.suffix.lower() in (".html", ".htm") else brief_markdown
        try:
            with path.open("x", encoding="utf-8") as file:
                file.write(make(self._answer, self._evidence))
        except FileExistsError:
            self._say("There is such a file already: give it another name.")
        except (OSError, ValueError) as error:
            self._say(f"It could not be written: {getattr(error, 'strerror', None) or error}")
        else:
            say(self.app, f"Written: {path}")
            self.dismiss(None)

    def _say(self, text: str) -> None:
        self.query_one("#brief-wrong", Shown).show(line(text, "bold"))
