"""What a screen or widget says about itself on the help screen, as data."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from textual.binding import Binding


@dataclass(frozen=True, slots=True)
class HelpText:
    """A title and some paragraphs, in the words of the trade."""

    title: str
    paragraphs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HelpPart:
    """A help text with the keys (key, what it does) that go with it."""

    text: HelpText
    keys: tuple[tuple[str, str], ...] = ()


def keys_of(bindings: Iterable[Binding]) -> tuple[tuple[str, str], ...]:
    """The keys of `bindings` with what they do; keys of one action in one row."""
    merged: dict[str, list[str]] = {}
    for binding in bindings:
        says = binding.tooltip or binding.description
        if says:
            keys = (key_name(replace(binding, key=key)) for key in binding.key.split(","))
            merged.setdefault(says, []).extend(keys)
    return tuple((", ".join(dict.fromkeys(keys)), says) for says, keys in merged.items())


def key_name(binding: Binding) -> str:
    """How a key is written on the screen."""
    if binding.key_display:
        return binding.key_display
    names = {
        "escape": "Esc",
        "enter": "Enter",
        "pageup": "PgUp",
        "pagedown": "PgDn",
        "question_mark": "?",
        "slash": "/",
        "space": "Space",
        "up": "Up",
        "down": "Down",
        "ctrl": "Ctrl",
        "shift": "Shift",
        "tab": "Tab",
    }
    parts = [names.get(part, part) for part in binding.key.split("+")]
    last = parts[-1]
    if last[1:].isdigit() or (len(last) == 1 and len(parts) > 1):
        parts[-1] = last.upper()
    return "+".join(parts)
