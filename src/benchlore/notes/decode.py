"""Bytes of a file to text, and back without losing one.

UTF-8 is read as such; UTF-16 and UTF-32 where a byte order mark says so. Bytes that are no UTF-8
are read as Windows-1252, one character a byte, which also covers a file where only a pasted degree
sign is in the old encoding. `Decoded.encode` gives every such byte back as it was.
"""

from __future__ import annotations

import codecs
import re
from dataclasses import dataclass

from benchlore.errors import NEEDS_A_LOOK, BenchloreError
from benchlore.notes.lines import LineIndex
from benchlore.notes.model import Problem

READ_CAP = 256 * 1024
"""Bytes of a file that are read; what stands after them is not searched."""

_MARKS = (  # the longer first: the UTF-32 mark starts with the UTF-16 one
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_STRAY_BYTE = re.compile("[\udc80-\udcff]")
_SURROGATE = re.compile("[\ud800-\udfff]")
# Control characters without tab, line ends, form feed, escape and the like, which terminal logs
# and old printers leave in notes.
_BINARY = re.compile("[\x00-\x07\x0e-\x1a\x1c-\x1f\x7f\udc81\udc8d\udc8f\udc90\udc9d]")

_FEW = 2
"""Characters that nobody types, as many as any file may hold."""


class NotText(BenchloreError):
    """A file is not text at all: a picture, an archive, damaged."""

    exit_code = NEEDS_A_LOOK


@dataclass(frozen=True, slots=True)
class Decoded:
    """A file's text and what is needed to turn it back into the same bytes.

    Attributes:
        text: what people read; no byte order mark.
        raw: `text`, but with bytes that do not fit the encoding kept as lone surrogates; it has
            the same length, so offsets into one are good for the other.
        encoding: `utf-8`, `cp1252`, `mixed` (UTF-8 with single cp1252 bytes), `utf-16-le`, ...
        mark: the byte order mark, may be empty.
        used: number of bytes that were read, mark included.
        problems: what could not be read for certain.
    """

    text: str
    raw: str
    encoding: str
    mark: bytes
    used: int
    problems: tuple[Problem, ...] = ()

    def encode(self, raw: str) -> bytes:
        """Turn an edited `raw` into bytes, mark first."""
        if self.encoding.startswith("utf-") and self.encoding != "utf-8":
            return self.mark + raw.encode(self.encoding, "surrogatepass")
        return self.mark + raw.encode("utf-8", "surrogateescape")

    def insertable(self, text: str) -> str | None:
        """`text` as it goes into `raw`, or None where the file's encoding lacks a character."""
        try:
            if self.encoding == "cp1252":
                return text.encode("cp1252").decode("ascii", "surrogateescape")
            text.encode("utf-8")
        except UnicodeEncodeError:
            return None
        return text


def decode(data: bytes) -> Decoded:
    """Read at most `READ_CAP` bytes of a file as text.

    Raises:
        NotText: the bytes are no text in any of the encodings.
    """
    part = data[:READ_CAP]
    mark, encoding = next((pair for pair in _MARKS if part.startswith(pair[0])), (b"", "utf-8"))
    body = part[len(mark) :]
    if encoding == "utf-8":
        if len(data) > READ_CAP:
            body = _whole_characters(body)
        raw = body.decode("utf-8", "surrogateescape")
    else:
        body, raw = _wide(body, encoding)
    _refuse_binary(raw)
    used = len(mark) + len(body)
    if encoding == "utf-8":
        encoding = _guess(raw)
        text = read_strays(raw)
    else:
        text = _SURROGATE.sub("\N{REPLACEMENT CHARACTER}", raw)
    return Decoded(text, raw, encoding, mark, used, _problems(raw, encoding))


def _whole_characters(body: bytes) -> bytes:
    """Drop a UTF-8 sequence that the cap cut in two."""
    for back in range(1, min(4, len(body) + 1)):
        byte = body[-back]
        if byte >= 0xC0:
            length = 2 if byte < 0xE0 else 3 if byte < 0xF0 else 4
            return body[:-back] if length > back else body
        if byte < 0x80:
            break
    return body


def _wide(body: bytes, encoding: str) -> tuple[bytes, str]:
    """Decode UTF-16 or UTF-32, leaving out an incomplete last character."""
    width = 4 if encoding.startswith("utf-32") else 2
    body = body[: len(body) - len(body) % width]
    try:
        return body, body.decode(encoding, "surrogatepass")
    except UnicodeDecodeError:
        raise NotText("not text") from None


def _refuse_binary(raw: str) -> None:
    """Raise NotText when too many characters are ones that nobody types.

    Random bytes hold 12 %, pictures and archives about as many; a note with a NUL or two is kept.
    """
    strange = len(_BINARY.findall(raw))
    limit = 0.05 if _STRAY_BYTE.search(raw) else 0.3
    if strange > max(_FEW, limit * len(raw)):
        raise NotText("not text")


def _guess(raw: str) -> str:
    if not _STRAY_BYTE.search(raw):
        return "utf-8"
    return "cp1252" if _STRAY_BYTE.sub("", raw).isascii() else "mixed"


def read_strays(raw: str) -> str:
    """Read the bytes of `raw` that are no UTF-8, kept as surrogate escapes, as Windows-1252."""
    return _STRAY_BYTE.sub(_as_cp1252, raw)


def _as_cp1252(stray: re.Match[str]) -> str:
    byte = ord(stray.group()) - 0xDC00
    try:
        return bytes([byte]).decode("cp1252")
    except UnicodeDecodeError:  # five bytes mean nothing there; latin-1 keeps them visible
        return chr(byte)


def _problems(raw: str, encoding: str) -> tuple[Problem, ...]:
    found = _SURROGATE.search(raw)
    if found is None:
        return ()
    line, column = LineIndex(raw).place(found.start())
    if encoding in ("cp1252", "mixed"):
        todo = "read all the same; save the file as UTF-8 to be certain"
        return (Problem(line, column, "encoding guessed: cp1252", todo),)
    todo = "shown as a mark; type it again"
    return (Problem(line, column, "a damaged character", todo),)
