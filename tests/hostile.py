"""Text that a terminal or a screen library would act on, and what must never reach a terminal."""

from __future__ import annotations

ESCAPES = [
    "\x1b[31m",
    "\x1b]0;title\x07",
    "\x1b]8;;http://x.invalid\x1b\\",
    "\x1b]52;c;aGVsbG8=\x07",
    "\x1bP+q544e\x1b\\",
    "\x9b31m",
    "\x9d0;title\x9c",
    "\x7f",
    "\x08",
    "\x0e",
]
"""CSI, OSC 0, 8 and 52, DCS, the same in C1, delete, backspace, shift out."""

BIDI = ["\u202e", "\u2066", "\u200f", "\u061c", "\u200b", "\u00ad", "\U000e0041"]

BRACKETS = ["[P0301]", "[Nm]", "[/]", "[b [c]", "[@click=app.bell]", "[link=http://x.invalid]"]


def note_with(text: str) -> str:
    """A case note that holds `text` in every field, as double-quoted YAML, and in its body."""
    quoted = '"' + "".join(_yaml(char) for char in f"before {text} after") + '"'
    return (
        f"---\ncase: {quoted}\ndate: {quoted}\nby: {quoted}\n"
        f"machine: {{make: {quoted}, model: {quoted}, engine: {quoted}, odometer: {quoted}}}\n"
        f"symptom: {quoted}\nsystem: {quoted}\npresent: [{quoted}]\nabsent: [{quoted}]\n"
        f"where: {quoted}\ncodes: [{quoted}]\n"
        f"checks:\n  - {{check: {quoted}, found: {quoted}, value: {quoted}, limit: {quoted},"
        f" limit_from: {quoted}, minutes: {quoted}, ok: {quoted}}}\n"
        f"causes:\n  - {{part: {quoted}, fault: {quoted}, certainty: {quoted}}}\n"
        f"routes:\n  - {{route: {quoted}, parts_cost: {quoted}}}\n"
        f"outcome: {{result: {quoted}, date: {quoted}, after: {quoted}, comeback: {quoted}}}\n"
        f"cautions: [{quoted}]\nmystery: {quoted}\n---\n"
        f"## Heading {text} end\n\nA hum, {text}, in the body.\n"
    )


def _yaml(char: str) -> str:
    if char in '"\\':
        return "\\" + char
    return char if char.isprintable() and char.isascii() else f"\\U{ord(char):08x}"
