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
        f"cautions: [{quoted}]\nsee: [{quoted}]\nfiles: [{quoted}]\nmystery: {quoted}\n---\n"
        f"## Heading {text} end\n\nA hum, {text}, in the body.\n"
    )


def _yaml(char: str) -> str:
    if char in '"\\':
        return "\\" + char
    return char if char.isprintable() and char.isascii() else f"\\U{ord(char):08x}"


def bad_notes() -> dict[str, bytes]:
    """Fifty note files by path, in each of which something cannot be read as it is meant."""
    deep = 3000
    bad = {
        "binary": bytes(range(256)) * 40,
        "picture": b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + bytes(200),
        "half a character": "# Hum".encode("utf-16")[:-1],
        "too large": b"# Large hum\n" + b"x" * 300_000,
        "not closed": b"---\ncase: 1\nsymptom: never closed\n",
        "tab": b"---\nmachine:\n\tmake: Halden\nby: KM\n---\nHum.\n",
        "colon": b"---\nsymptom: a: b\n---\nHum.\n",
        "open quote": b"---\nsymptom: 'open\nby: KM\n---\nHum.\n",
        "at": b"---\nsymptom: @home\n---\nHum.\n",
        "above": b"---\nlimit: >= 1.0 bar\n---\nHum.\n",
        "twice": b"---\nby: KM\nby: AB\n---\nHum.\n",
        "bomb": b"---\na: &a [x,x,x,x]\nb: &b [*a,*a,*a,*a]\nc: [*b,*b,*b,*b]\n---\nHum.\n",
        "cycle": b"---\na: &a [*a]\n---\nHum.\n",
        "merge": b"---\na: &a {x: 1}\nb: {<<: *a}\n---\nHum.\n",
        "deep list": b"---\na: " + b"[" * deep + b"\n---\nHum.\n",
        "deep map": b"---\na: " + b"{a: " * deep + b"\n---\nHum.\n",
        "tag": b"---\na: !!python/object/apply:os.system [true]\n---\nHum.\n",
        "day": b"---\ndate: 2025-02-30\n---\nHum.\n",
        "newer": b"---\nformat: 2\nsymptom: Hum\n---\nHum.\n",
        "long": b"---\n" + b"key: value\n" * 7000 + b"---\nHum.\n",
        "cautions": b"---\ncautions: [a: b: c\nsymptom: x\n---\nHum.\n",
        "second": b"---\nby: KM\n---\n---\nby: AB\n---\nHum.\n",
        "escape": b'---\nsymptom: "\\x1b]0;t\\x07\n---\nHum \x1b[31m.\n',
        "look-alike": "---\ncodes: [\u04200301]\n---\nHum.\n".encode(),
        "latin": b"# Hum at 5 \xb0C\n",
    }
    named = {f"kb/bad/{name}.md": data for name, data in bad.items()}
    return named | {f"kb/bad/{name} again.md": data + b"\n\n" for name, data in bad.items()}
