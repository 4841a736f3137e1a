"""The files of a note: which are there, a small picture of the marked one, opened by the viewer."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from textual import work
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option
from textual.worker import get_current_worker

from benchlore.errors import BenchloreError
from benchlore.keeping.attachments import Attachment, attachments_of
from benchlore.tui.base import Dialog
from benchlore.tui.display import NOTHING, Shown, half_blocks, joined, line, row
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine

MAX_COLUMNS, MAX_ROWS = 40, 12
"""Cells of a preview."""

LIST_ROWS = 5
"""Rows of the list; more files scroll."""

_OTHER_ROWS = 7
"""Of the window: its border, heading, key line, and up to three for what is said."""


class FileList(OptionList):
    """The files with their state."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "select", "Open", id="files.open", tooltip="Open it with the viewer"),
    ]


class FilesDialog(Dialog[None]):
    """Lists what the note at `note_path` names under `files:`."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Files of this note",
        (
            "Photos, sound, films, PDF and plain text that the note lists. Enter hands the marked"
            " one to the system's viewer. Nothing is ever run: a file whose content is not what"
            " its name says, or of any other kind, is not opened.",
            "Of a picture a small preview is shown where the terminal has 256 colours or more.",
        ),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "back", "Back", id="dialog.close", tooltip="Back to the note"),
    ]

    def __init__(self, shop_root: Path, note_path: str, listed: tuple[str, ...]) -> None:
        super().__init__()
        self._shop_root = shop_root
        self._note_path = note_path
        self._listed = listed
        self._files: tuple[Attachment, ...] = ()

    def compose(self) -> ComposeResult:
        """Heading, list, preview, what came of opening."""
        with Vertical(classes="window"):
            yield Shown(row(_heading(len(self._listed)), "bold"), id="files-heading")
            yield FileList(id="files")
            yield Shown(id="preview")
            yield Shown(id="files-said")
            yield KeyLine()

    def on_mount(self) -> None:
        """Look at the files: on a share that may take a while."""
        self.query_one(FileList).focus()
        if self._listed:
            self._say("looking at them ...")
            self._look()

    @work(thread=True)
    def _look(self) -> None:
        files = attachments_of(self._shop_root, self._note_path, self._listed)
        self.call_later(self._show, files)

    def _show(self, files: tuple[Attachment, ...]) -> None:
        self._files = files
        self._say("")
        choices = self.query_one(FileList)
        choices.add_options(Option(_file_text(each)) for each in files)
        choices.highlighted = 0

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Show a preview of another file."""
        marked = self._files[event.option_index]
        self.workers.cancel_group(self, "preview")
        if marked.state != "there":
            self._preview(NOTHING)
        elif marked.kind != "image":
            self._preview(row("no preview of a file of this kind"))
        elif not shows_colours(self.app):
            self._preview(row("no preview on this terminal"))
        else:
            self._preview(row("..."))
            self._shrink(marked, *self._room())

    @work(thread=True, exclusive=True, group="preview")
    def _shrink(self, marked: Attachment, columns: int, rows: int) -> None:
        # Imported here: the picture library comes with the first picture.
        from benchlore.keeping.small_images import NotShown, small_image

        worker = get_current_worker()
        if worker.is_cancelled or marked.path is None:
            return
        try:
            made = half_blocks(small_image(marked.path, columns, rows * 2).rows)
        except NotShown as error:
            made = line(str(error))
        if not worker.is_cancelled:
            self.call_later(self._show_preview, marked, made)

    def _show_preview(self, of: Attachment, made: Content) -> None:
        """Show it, unless another file has been marked since."""
        at = self.query_one(FileList).highlighted
        if at is not None and self._files[at] is of:
            self._preview(made)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Enter, or a click."""
        self._say("opening it ...")
        self._open(self._files[event.option_index])

    @work(thread=True, exclusive=True, group="open")
    def _open(self, chosen: Attachment) -> None:
        from benchlore.keeping.viewer import open_file

        try:
            open_file(chosen)
        except BenchloreError as error:
            said = f"{error}. {error.todo}" if error.todo else str(error)
        else:
            said = f"opened with the system's viewer: {chosen.written}"
        self.call_later(self._say, said)

    def _room(self) -> tuple[int, int]:
        """Columns and rows for a preview."""
        taken = _OTHER_ROWS + min(len(self._files), LIST_ROWS)
        rows = self.app.size.height * 9 // 10 - taken
        return min(MAX_COLUMNS, max(self.app.size.width - 8, 1)), max(min(MAX_ROWS, rows), 1)

    def _preview(self, content: Content) -> None:
        self.query_one("#preview", Shown).show(content)

    def _say(self, text: str) -> None:
        self.query_one("#files-said", Shown).show(line(text, "bold"))


def shows_colours(app: App[object]) -> bool:
    """Whether the terminal has colours enough for a picture, and the user wants colours."""
    return not app.no_color and app.console.color_system in ("256", "truecolor")


def _heading(count: int) -> str:
    if not count:
        return "This note lists no files. Esc goes back."
    return "1 file of this note" if count == 1 else f"{count} files of this note"


def _file_text(attachment: Attachment) -> Content:
    return joined((line(attachment.written, "bold"), row("  "), line(attachment.says)))
