"""The commands of the palette, named `area: action`, as data."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import Any

from textual.command import DiscoveryHit, Hit, Hits, Provider

from benchlore.tui.display import plain


@dataclass(frozen=True, slots=True)
class ShopCommand:
    """A command: its name, what it does in one line, the action it runs."""

    name: str
    says: str
    action: str


EVERYWHERE = (
    ShopCommand("case: write up", "A new case, or a draft from last time", "app.write"),
    ShopCommand("cases: due", "Outcome open or not confirmed", "app.due"),
    ShopCommand("help: this screen", "What is on the screen and its keys", "app.help"),
    ShopCommand(
        "look: light or dark", "Change between the dark and the light look", "app.toggle_look"
    ),
    ShopCommand("program: quit", "Leave the program", "app.quit"),
)
ON_FIND = (
    ShopCommand("search: narrow", "Only a system, make, engine, or since a date", "screen.filters"),
    ShopCommand("search: read as", "Drop a condition that was misread", "screen.reading"),
    ShopCommand("cases: add up", "Causes, findings, next check, repair costs", "screen.evidence"),
    ShopCommand("case: open the source note", "In the whole window", "screen.open_note"),
    ShopCommand("case: all cautions", "Its own and the usual ones", "screen.cautions"),
    ShopCommand("case: next matching passage", "In the source note", "screen.passage(1)"),
    ShopCommand("notes: need a look", "What could not be read, and what to do", "screen.look"),
    ShopCommand("index: bring up to date", "Read new and changed notes now", "screen.renew"),
    ShopCommand("index: stop", "Stop bringing it up to date", "screen.stop"),
)
ON_NOTE = (
    ShopCommand("note: next matching passage", "Scroll to it", "screen.passage(1)"),
    ShopCommand("note: look for words", "In the text of this note", "screen.look_for"),
    ShopCommand("note: change", "In the form", "screen.edit"),
    ShopCommand("note: outcome", "How it ended, in one line", "screen.outcome"),
    ShopCommand("note: files", "Its photos, sound and papers", "screen.files"),
    ShopCommand("note: links", "What it links to and mentions", "screen.links"),
    ShopCommand("note: all cautions", "Its own and the usual ones", "screen.cautions"),
)
ON_EVIDENCE = (
    ShopCommand("found: enter a result", "Causes and next check follow it", "screen.result"),
    ShopCommand("found: take the last one back", "As if it had not been entered", "screen.undo"),
    ShopCommand("cause: apart or together", "As written, or put together", "screen.apart"),
    ShopCommand("cases: job brief", "One page for the job card", "screen.brief"),
    ShopCommand("cases: all cautions", "Their own and the usual ones", "screen.cautions"),
)


def commands_for(screen: str) -> tuple[ShopCommand, ...]:
    """The commands that have a meaning on the screen of the class named `screen`."""
    own = {"FindScreen": ON_FIND, "NoteScreen": ON_NOTE, "EvidenceScreen": ON_EVIDENCE}.get(
        screen, ()
    )
    return (*own, *EVERYWHERE)


class ShopCommands(Provider):
    """Offers the commands that apply on the present screen."""

    async def discover(self) -> Hits:
        """All of them, before anything is typed."""
        for command in self._commands():
            yield DiscoveryHit(plain(command.name), self._run(command), command.name, command.says)

    async def search(self, query: str) -> Hits:
        """Those whose name holds what is typed, letter by letter."""
        matcher = self.matcher(query)
        for command in self._commands():
            score = matcher.match(command.name)
            if score > 0:
                shown = matcher.highlight(command.name)
                yield Hit(score, shown, self._run(command), command.name, command.says)

    def _commands(self) -> tuple[ShopCommand, ...]:
        return commands_for(type(self.screen).__name__)

    def _run(self, command: ShopCommand) -> partial[Any]:
        return partial(self.screen.run_action, command.action)
