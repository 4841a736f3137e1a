"""The program: starts it, and does what belongs to no single screen."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import App
from textual.binding import Binding, BindingType
from textual.dom import DOMNode
from textual.reactive import reactive

from benchlore.errors import DONE, INTERRUPTED, BenchloreError
from benchlore.index.links import NoteLink, Refused, WebLink, resolve_link, resolve_mention
from benchlore.keeping.drafts import Draft, drafts_of
from benchlore.shop import Shop
from benchlore.tui.commands import ShopCommands
from benchlore.tui.display import say
from benchlore.tui.find_screen import FindScreen
from benchlore.tui.help_text import HelpPart, HelpText, keys_of
from benchlore.tui.index_keeper import IndexKeeper
from benchlore.tui.looks import DARK, LIGHT
from benchlore.tui.note_pane import Wanted
from benchlore.tui.note_view import NoteView
from benchlore.tui.searcher import Searcher
from benchlore.tui.session import Session
from benchlore.tui.signals import go_on_once, when_ended
from benchlore.tui.small_screen import SmallScreen, too_small

if TYPE_CHECKING:
    from benchlore.writeup.sitting import Sitting


class BenchloreApp(App[int]):
    """Search over the notes of one shop."""

    TITLE = "benchlore"
    CSS_PATH = "app.tcss"
    COMMANDS = {ShopCommands}  # noqa: RUF012  # as Textual declares it
    ABOUT: ClassVar[HelpText] = HelpText(
        "Everywhere",
        (
            "A note changes only when you save it, and nothing leaves this computer.",
            "F8 writes up a case; e changes the one that is open, o writes how it ended.",
        ),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f1", "help", "Help", id="app.help", tooltip="Help on what is on the screen"),
        Binding("ctrl+p", "command_palette", "More", id="app.commands", tooltip="All commands"),
        Binding(
            "ctrl+q", "quit", "Quit", id="app.quit", tooltip="Leave the program", priority=True
        ),
        Binding("f8", "write", "Write up", show=False, id="app.write", tooltip="Write up a case"),
        Binding("f9", "due", "Due", show=False, id="app.due",
                tooltip="Cases whose outcome is open or not confirmed"),
        Binding("ctrl+t", "toggle_look", "Dark or light", show=False, id="app.look"),
    ]  # fmt: skip

    words_only: reactive[bool] = reactive(False)
    """The sentence model cannot be used: every screen says so."""

    def __init__(self, shop: Shop, renew: bool = True) -> None:
        """`renew`: look for changed notes in the background after the start."""
        super().__init__()
        self._session = Session(shop)
        self._renew = renew
        self._asked_to_quit = False

    def on_mount(self) -> None:
        """Show the main screen."""
        self.register_theme(DARK)
        self.register_theme(LIGHT)
        self.theme = DARK.name
        self._keeper = IndexKeeper(self._session, self._renew)
        self.push_screen(FindScreen(self._keeper, Searcher(self._session)))
        when_ended(self._stopped)
        go_on_once(self)
        for problem in self._session.shop.settings.problems:
            say(self, problem, "warning")
        drafts = drafts_of(self._session.shop.root)
        if drafts:
            count = f"{len(drafts)} drafts are" if len(drafts) > 1 else "1 draft is"
            say(self, f"{count} kept from last time: F8 goes on with it.")

    def on_resize(self, event: events.Resize) -> None:
        """Replace a window in which nothing can be read by words that say so."""
        small = too_small(event.size.width, event.size.height)
        covered = isinstance(self.screen, SmallScreen)
        if small and not covered:
            self.push_screen(SmallScreen())
        elif covered and not small:
            self.pop_screen()

    def action_help(self) -> None:
        """Help on the focused widget, its screen and the program."""
        from benchlore.tui.help_screen import HelpScreen

        if not isinstance(self.screen, (HelpScreen, SmallScreen)):
            self.push_screen(HelpScreen(tuple(self._help_parts())))

    def action_toggle_look(self) -> None:
        """Between dark and light."""
        self.theme = LIGHT.name if self.theme == DARK.name else DARK.name

    async def action_quit(self) -> None:
        """Leave; what is being typed stays a draft. Where none can be kept, ask by staying once."""
        if self._keep_drafts() or self._asked_to_quit:
            self.exit(DONE)
        self._asked_to_quit = True

    def _stopped(self) -> None:
        """The terminal is being closed, or the system wants the program to end."""
        self._keep_drafts()
        self.exit(INTERRUPTED)

    def _keep_drafts(self) -> bool:
        """Keep what is being typed; False where it cannot be kept."""
        kept = True
        for screen in self.screen_stack:
            keep = getattr(screen, "save_draft", None)
            kept = (keep is None or keep()) and kept
        return kept

    # writing

    def action_write(self) -> None:
        """Write up a case, or go on with a draft."""
        from benchlore.tui.write_screen import WriteScreen

        if any(isinstance(screen, WriteScreen) for screen in self.screen_stack):
            say(self, "A case is being written already: save it or leave it first.", "warning")
            return
        drafts = drafts_of(self._session.shop.root)
        if drafts:
            from benchlore.tui.drafts_dialog import DraftsDialog

            self.push_screen(DraftsDialog(drafts), self._start_writing)
        else:
            self._start_writing("new")

    def _start_writing(self, chosen: Draft | str | None) -> None:
        """Open the form on a draft, or on a new case."""
        from benchlore.writeup.sitting import Sitting

        root = self._session.shop.root
        if isinstance(chosen, Draft):
            self._open_form(lambda: Sitting.going_on(root, chosen))
        elif chosen is not None:
            self._open_form(lambda: Sitting(root, self._session.new_case()))

    def change_note(self, path: str) -> None:
        """Open the note at `path` in the form."""
        from benchlore.writeup.sitting import Sitting

        self._open_form(lambda: Sitting.opened(self._session.shop.root, path))

    def _open_form(self, start: Callable[[], Sitting]) -> None:
        from benchlore.tui.write_screen import WriteScreen

        try:
            sitting = start()
        except BenchloreError as error:
            say(self, f"{error}. {error.todo}", "warning")
        else:
            self.push_screen(WriteScreen(self._session, sitting))

    def ask_outcome(self, path: str, about: str) -> None:
        """Ask how the case at `path` ended, and write it."""
        from benchlore.tui.outcome_dialog import OutcomeDialog

        def written(changed: str | None) -> None:
            if changed is not None:
                self.note_saved(changed)

        self.push_screen(OutcomeDialog(self._session.shop, path, about), written)

    def note_saved(self, path: str) -> None:
        """Make a note that was just written findable, and say so."""
        self._keeper.note_saved(path)
        say(self, f"Saved: {path}")

    def open_if_chosen(self, path: str | None) -> None:
        """Open the note at `path`, if one was chosen."""
        if path:
            self._open_note(path)

    def action_due(self) -> None:
        """List the cases that are due for another look."""
        from benchlore.tui.due_screen import DueScreen

        if not isinstance(self.screen, DueScreen):
            self.push_screen(DueScreen(self._session))

    def on_note_view_link_clicked(self, event: NoteView.LinkClicked) -> None:
        """Open another note, ask about a web link, refuse the rest in words."""
        link = resolve_mention(event.target, event.path) if event.mention else None
        if event.mention and link is None:
            self._open_case(event.target)
            return
        link = link or resolve_link(event.target, event.path)
        if isinstance(link, NoteLink):
            self._open_note(link.path)
        elif isinstance(link, WebLink):
            self._ask(link.url)
        else:
            self._refuse(link)

    def _open_note(self, path: str) -> None:
        from benchlore.tui.note_screen import NoteScreen

        self.push_screen(NoteScreen(self._session, Wanted(path)))

    def _open_case(self, case: str) -> None:
        """Open the note with the job-card number `case`."""
        try:
            stored = self._session.store.notes_by_case(case)
        except BenchloreError as error:
            say(self, str(error), "warning")
            return
        if stored:
            self._open_note(stored[0].note.path)
        else:
            say(self, f"no case {case} in these notes", "warning")

    def _ask(self, url: str) -> None:
        from benchlore.tui.ask_dialog import AskDialog

        def answer(yes: bool | None) -> None:
            if yes is True:
                self.open_url(url)

        self.push_screen(AskDialog(url), answer)

    def _refuse(self, link: Refused) -> None:
        say(self, link.why, "warning")

    def _help_parts(self) -> Iterator[HelpPart]:
        nodes: list[DOMNode] = [*(self.focused.ancestors_with_self if self.focused else ())]
        for node in nodes or [self.screen, self]:
            text = getattr(node, "ABOUT", None)
            if isinstance(text, HelpText):
                bindings = [each for each in type(node).BINDINGS if isinstance(each, Binding)]
                yield HelpPart(text, keys_of(bindings))


def run(shop: Shop) -> int:
    """Show the program until it is left; return the exit code."""
    code = BenchloreApp(shop).run()
    return DONE if code is None else code
