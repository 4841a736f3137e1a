"""How values are written into front matter so that reading gives the same texts back."""

from __future__ import annotations

import re

from benchlore.notes.nodes import Map, Node, Scalar, Unreadable, parse

Value = str | list["Value"] | dict[str, "Value"]
"""What a field can be set to."""

_WIDTH = 100
"""Characters of a list or group that is written on one line."""

_ROW_ENTRIES = 3
"""Named values of a list item that are written on one line."""

_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\r": "\\r", "\t": "\\t"}
# What no file should hold unescaped: control characters, odd line ends, invisible marks.
_UNSAFE = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ufeff\ud800-\udfff\ufffe\uffff]")

# Words that mean themselves wherever they stand in YAML; all others are tried out by reading them.
_SURELY_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 _./()-]*[A-Za-z0-9)])?")


def quoted(text: str, lacking: frozenset[str] = frozenset()) -> str:
    r"""Put `text` in quotes, on one line.

    Double quotes where they need no escape, else single ones. Escapes such as `\x07` are used for
    control characters and for the characters in `lacking`, which the file's encoding has not.
    """
    if _UNSAFE.search(text) or not lacking.isdisjoint(text):
        return f'"{"".join(_escaped(char, lacking) for char in text)}"'
    if '"' in text or "\\" in text:
        return "'" + text.replace("'", "''") + "'"
    return f'"{text}"'


def _escaped(char: str, lacking: frozenset[str]) -> str:
    if char in _ESCAPES:
        return _ESCAPES[char]
    if char not in lacking and not _UNSAFE.match(char):
        return char
    code = ord(char)
    if code < 0x100:
        return f"\\x{code:02X}"
    return f"\\u{code:04X}" if code < 0x10000 else f"\\U{code:08X}"


class Renderer:
    """Writes values for a file whose encoding has not the characters in `lacking`."""

    def __init__(self, lacking: frozenset[str]) -> None:
        """Escape every character of `lacking`."""
        self._lacking = lacking

    def flow(self, value: Value) -> str:
        """`value` as it stands inside brackets or braces."""
        if isinstance(value, str):
            return self._text(value, "[{}, {}]")
        if isinstance(value, list):
            return f"[{', '.join(map(self.flow, value))}]"
        pairs = (f"{self._key(name)}: {self.flow(item)}" for name, item in value.items())
        return f"{{{', '.join(pairs)}}}"

    def inline(self, value: Value, row: bool = False) -> str | None:
        """`value` on the line of its key or dash (`row`), or None where it needs lines below."""
        if isinstance(value, str):
            return self._text(value, "k: {} # c\n")
        flow = self.flow(value)
        parts = list(value.values()) if isinstance(value, dict) else value
        if not value:
            return flow
        if len(flow) > _WIDTH or not all(isinstance(part, str) for part in parts):
            return None
        return None if row and len(value) > _ROW_ENTRIES else flow

    def lines(self, value: Value, column: int) -> list[str]:
        """`value` as lines of its own, `column` spaces in front, without line ends."""
        pad = " " * column
        if isinstance(value, dict) and value:
            out: list[str] = []
            for name, item in value.items():
                inline = self.inline(item)
                out.append(f"{pad}{self._key(name)}:{'' if inline is None else f' {inline}'}")
                if inline is None:
                    out.extend(self.lines(item, column + 2))
            return out
        if isinstance(value, list) and value:
            return [line for item in value for line in self._row(item, column)]
        return [pad + (self.inline(value) or "")]

    def _row(self, item: Value, column: int) -> list[str]:
        pad = " " * column
        inline = self.inline(item, row=True)
        if inline is not None:
            return [f"{pad}- {inline}"]
        first, *others = self.lines(item, column + 2)
        return [f"{pad}- {first.lstrip(' ')}", *others]

    def _text(self, text: str, frame: str) -> str:
        if _SURELY_PLAIN.fullmatch(text) and self._lacking.isdisjoint(text):
            return text
        if self._plain(text) and _texts_of(frame.replace("{}", text)) in ([text], [text, text]):
            return text
        return quoted(text, self._lacking)

    def _key(self, text: str) -> str:
        if len(text) < _WIDTH and _SURELY_PLAIN.fullmatch(text) and self._lacking.isdisjoint(text):
            return text
        frames = ("{{{}: k}}", "{}: k\n")
        if self._plain(text) and all(_texts_of(f.format(text)) == [text, "k"] for f in frames):
            return text
        return quoted(text, self._lacking)

    def _plain(self, text: str) -> bool:
        return bool(text) and not _UNSAFE.search(text) and self._lacking.isdisjoint(text)


def _texts_of(document: str) -> list[str] | None:
    """The texts without quotes of a document, a key `k` left out; None where it has others."""
    try:
        root = parse(document)
    except Unreadable:
        return None
    nodes: list[Node] = []
    if isinstance(root, Map):
        nodes = [node for entry in root.entries for node in (entry.key, entry.value)]
    elif root is not None and not isinstance(root, Scalar):
        nodes = list(root.items)
    if not all(isinstance(node, Scalar) and not node.style for node in nodes):
        return None
    texts = [node.text for node in nodes if isinstance(node, Scalar)]
    return texts[1:] if texts[:1] == ["k"] and len(texts) == 2 else texts
