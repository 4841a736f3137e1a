"""The bottom row: the keys that matter now. Help and quit stay, however narrow the window."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual import events
from textual.binding import Binding
from textual.content import Content
from textual.screen import Screen
from textual.widget import Widget

from benchlore.index.model_files import NOT_EXPECTED
from benchlore.tui.display import joined, line, row, rows
from benchlore.tui.help_text import key_name

ALWAYS = ("help", "quit", "close")
"""Ids of the bindings that are never dropped for want of room."""


@dataclass(frozen=True, slots=True)
class ShownKey:
    """A key in the row: what to press, how it is written, what it does; whether it must stay."""

    key: str
    name: str
    says: str
    stays: bool

    @property
    def width(self) -> int:
        """Cells that it takes, the gap behind it among them."""
        return (
            len(self.name) + len(self.says) + 3
        )  # a blank before the name, before and after the words


def fit_keys(keys: Sequence[ShownKey], width: int) -> list[ShownKey]:
    """Those of `keys` that fit into `width` cells; later ones give way first."""
    room = width - sum(key.width for key in keys if key.stays)
    out: list[ShownKey] = []
    for key in keys:
        if not key.stays:
            if key.width > room:
                room = 0
                continue
            room -= key.width
        out.append(key)
    return out


class KeyLine(Widget):
    """Shows the keys of the screen it is on. A click on one presses it.

    While only words are searched, a row above the keys says so, on every screen.
    """

    def on_mount(self) -> None:
        """Follow the screen's keys and the state of the sentence model."""
        self.screen.bindings_updated_signal.subscribe(self, self._changed)
        self.watch(self.app, "words_only", self._warn)

    def _warn(self, words_only: bool) -> None:
        self.styles.height = 2 if words_only else 1
        self.refresh(layout=True)

    def _changed(self, _screen: Screen[object]) -> None:
        self.refresh()

    def render(self) -> Content:
        """The row."""
        keys = joined(
            joined((row(f" {key.name}", "bold"), row(f" {key.says} "))) for key in self._keys()
        )
        if not self._says_words_only:
            return keys
        return rows((line(f" {NOT_EXPECTED}", "bold $warning"), keys))

    @property
    def _says_words_only(self) -> bool:
        return bool(getattr(self.app, "words_only", False))

    def on_click(self, event: events.Click) -> None:
        """Press the key under the pointer."""
        if event.y < self.size.height - 1:
            return
        left = 0
        for key in self._keys():
            left += key.width
            if event.x < left:
                self.app.simulate_key(key.key)
                return

    def _keys(self) -> list[ShownKey]:
        active = [each.binding for each in self.screen.active_bindings.values()]
        shown = [_shown_key(binding) for binding in active if binding.show and binding.description]
        shown.sort(key=lambda key: {"F1": 0, "Ctrl+Q": 2}.get(key.name, 1))
        return fit_keys(_first_of_each(shown), self.size.width)


def _first_of_each(keys: Sequence[ShownKey]) -> list[ShownKey]:
    """Where several keys do the same, the first of them."""
    out: dict[str, ShownKey] = {}
    for key in keys:
        out.setdefault(key.says, key)
    return list(out.values())


def _shown_key(binding: Binding) -> ShownKey:
    stays = (binding.id or "").rpartition(".")[2] in ALWAYS
    return ShownKey(binding.key, key_name(binding), binding.description, stays)
