"""Text of other programs as part of a note's body: it stays text, whatever it looks like."""

from __future__ import annotations

import re

_CONTROLS = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f]")
# What CommonMark would take for a heading, the underline of one, a fence or raw HTML, each of which
# could swallow what stands below it.
_TAKEN_FOR_MORE = re.compile(r"^( {0,3})(?=#|<|`{3}|~{3}|=+[ \t]*$|-+[ \t]*$)", re.M)


def harmless(text: str) -> str:
    r"""`text` with `\n` at its line ends and a visible mark for every control character."""
    return _CONTROLS.sub(_mark, text.replace("\r\n", "\n").replace("\r", "\n"))


def section(heading: str, text: str) -> str:
    """A section of a body that holds `text` and nothing but text."""
    escaped = _TAKEN_FOR_MORE.sub(r"\1\\", harmless(text).strip("\n"))
    title = " ".join(harmless(heading).split()).lstrip("#").strip() or "Text"
    return f"## {title}\n\n{escaped}\n"


def _mark(found: re.Match[str]) -> str:
    code = ord(found.group())
    if code < 0x20:
        return chr(0x2400 + code)
    return "\N{SYMBOL FOR DELETE}" if code == 0x7F else f"<U+{code:04X}>"
