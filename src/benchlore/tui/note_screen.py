"""A source note in the whole window, with its cautions above it and a search in its text."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.widgets import Input

from benchlore.tui.base import BACK, Page
from benchlore.tui.display import Shown, row
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine
from benchlore.tui.note_pane import NotePane, Wanted
from benchlore.tui.note_view import NoteView
from benchlore.tui.safe_input import SafeInput
from benchlore.tui.session import Session
from benchlore.tui.words import files_words, found_words

if TYPE_CHECKING:
    from benchlore.tui.document import Document


class LookForField(SafeInput):
    """Takes the words to look for in the note."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "submit", "Next", id="look_for.next", tooltip="Next line that holds them"),
    ]

    def __init__(self) -> None:
        super().__init__(placeholder="words in this note")


class NoteScreen(Page):
    """Opened by Enter on a case, by a link, or from the list of notes that need a look."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Source note, whole window",
        (
            "n and p go to the next and the previous passage that matched. / looks for words in the"
            " note: Enter goes to the next line that holds them, Esc ends it.",
            "l lists the links and the other cases that the note mentions, a its photos, sound and"
            " other files; how many there are stands before the note's path.",
        ),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        BACK,
        Binding("n,ctrl+down", "passage(1)", "Next", id="source.next", tooltip="Next match"),
        Binding(
            "p,ctrl+up",
            "passage(-1)",
            "Before",
            show=False,
            id="source.before",
            tooltip="Match before",
        ),
        Binding(
            "f3", "cautions", "Cautions", id="source.cautions", tooltip="All cautions of this note"
        ),
        Binding("e", "edit", "Change", id="source.edit", tooltip="Change this case in the form"),
        Binding("o", "outcome", "Outcome", id="source.outcome", tooltip="Write how it ended"),
        Binding("slash,ctrl+f", "look_for", "Find", id="source.look_for", tooltip="Look for words"),
        Binding("l", "links", "Links", id="source.links"),
        Binding(
            "a", "files", "Files", show=False, id="source.files", tooltip="Photos and other files"
        ),
        Binding("question_mark", "app.help", "Help", show=False, id="source.help"),
    ]

    def __init__(self, session: Session, wanted: Wanted) -> None:
        super().__init__()
        self._session = session
        self._wanted = wanted
        self._document: Document | None = None
        self._files: tuple[str, ...] = ()
        self._found: tuple[int, ...] = ()
        self._at = -1

    def compose(self) -> ComposeResult:
        """Cautions, note, the field for words to look for, keys."""
        yield Shown(id="note-cautions")
        yield NotePane(id="source")
        with Horizontal(id="look-for"):
            yield Shown(row("Find "))
            yield LookForField()
            yield Shown(id="found")
        yield KeyLine()

    def on_mount(self) -> None:
        """Read the note."""
        self.query_one("#look-for").display = False
        self.query_one(NoteView).focus()
        self.query_one(NotePane).show(self._session.shop.root, self._wanted)

    def on_note_pane_read(self, event: NotePane.Read) -> None:
        """Its cautions stand above the note."""
        from benchlore.evidence.cautions import cautions_of
        from benchlore.tui.case_text import caution_block

        self._document = event.document
        self._files = tuple(dict.fromkeys(said.text for said in event.document.note.files))
        cautions = cautions_of(event.document.note)
        most = max(self.size.height // 4, 3)
        said = caution_block(cautions, self.size.width - 2, most)
        self.query_one("#note-cautions", Shown).show(said)
        self.query_one(NotePane).lead(files_words(len(self._files)))

    def action_passage(self, by: int) -> None:
        """Go to another matched passage, or to another line that holds the words looked for."""
        if self._found:
            self._at = (self._at + by) % len(self._found)
            self.query_one(NoteView).go_to_line(self._found[self._at])
        else:
            self.query_one(NotePane).step(by)

    def action_look_for(self) -> None:
        """Open the field for words."""
        self.query_one("#look-for").display = True
        self.query_one(LookForField).focus()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Mark the lines that hold the words."""
        if self._document is None:
            return
        from benchlore.tui.document import find_rows

        self._found = find_rows(self._document, event.value)
        self._at = -1
        self.query_one(NoteView).mark_found(self._found)
        self.query_one("#found", Shown).show(row(found_words(event.value, len(self._found))))
        if self._found:
            self.action_passage(1)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Go to the next line that holds the words."""
        self.action_passage(1)

    def action_back(self) -> None:
        """End the search for words, else leave the note."""
        bar = self.query_one("#look-for")
        if bar.display:
            self.query_one(LookForField).value = ""
            bar.display = False
            self.query_one(NoteView).focus()
        else:
            self.dismiss()

    def action_cautions(self) -> None:
        """Show all cautions of this note."""
        from benchlore.tui.cautions_screen import cautions_screen

        self.app.push_screen(cautions_screen(self._document.note if self._document else None))

    def action_edit(self) -> None:
        """Change this note in the form."""
        if self._document is not None:
            self.app.change_note(self._document.note.path)  # type: ignore[attr-defined]

    def action_outcome(self) -> None:
        """Write how this case ended."""
        note = self._document.note if self._document else None
        if note is not None and note.kind == "case":
            about = note.symptom.text if note.symptom else note.title
            self.app.ask_outcome(note.path, about)  # type: ignore[attr-defined]

    def action_files(self) -> None:
        """List the note's photos and other files."""
        from benchlore.tui.files_dialog import FilesDialog

        if self._document is not None:
            root, path = self._session.shop.root, self._document.note.path
            self.app.push_screen(FilesDialog(root, path, self._files))

    def action_links(self) -> None:
        """List what the note links to and mentions."""
        from benchlore.tui.links_dialog import LinksDialog

        if self._document is not None:
            mentions = self._document.note.see
            self.app.push_screen(LinksDialog((*self._document.links, *mentions)), self._follow)

    def _follow(self, target: str | None) -> None:
        if target is not None and self._document is not None:
            note = self._document.note
            mention = target in note.see and target not in self._document.links
            self.post_message(NoteView.LinkClicked(target, note.path, mention))
