"""What kind a file is: by its name's ending and by its first bytes, which must agree.

Only kinds that a viewer shows or plays are known. First bytes are those that each format's own
standard names: JPEG ITU-T T.81, PNG ISO/IEC 15948, GIF89a, RIFF (WebP, WAV), TIFF 6.0, ISO/IEC
14496-12 (HEIC, MP4, M4A; MOV before it), ISO 32000 (PDF), ISO/IEC 11172-3 (MP3), RFC 3533 (Ogg),
RFC 9639 (FLAC), RFC 8794 (WebM).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

Kind = Literal["image", "sound", "film", "document", "text", "other"]

_CONTROL = re.compile("[\x00-\x08\x0b\x0e-\x1f\x7f]")
_NOT_PLAIN = ("#!", "<", "[desktop entry]", "[internetshortcut]", "@echo")
"""How scripts, pages and shortcuts begin: a viewer that goes by content would not show them as
text."""


@dataclass(frozen=True, slots=True)
class KnownKind:
    """A kind of file: the group it is in, its name, whether first bytes are such a file's."""

    group: Kind
    name: str
    begins: Callable[[bytes], bool]


def _starts(*heads: bytes) -> Callable[[bytes], bool]:
    return lambda data: data.startswith(heads)


def _riff(form: bytes) -> Callable[[bytes], bool]:
    return lambda data: data[:4] == b"RIFF" and data[8:12] == form


def _boxes(*brands: bytes) -> Callable[[bytes], bool]:
    """A file of boxes whose first is its type; `brands` are its allowed main brands, if any."""
    return lambda data: data[4:8] == b"ftyp" and (not brands or data[8:12] in brands)


def _quicktime(data: bytes) -> bool:
    return data[4:8] in (b"ftyp", b"moov", b"mdat", b"wide", b"free", b"skip")


def _mp3(data: bytes) -> bool:
    """An ID3 tag, or the head of a frame of layer III whose version and rate are no reserved."""
    if data.startswith(b"ID3"):
        return True
    if len(data) < 4 or data[0] != 0xFF or data[1] & 0xE6 != 0xE2:
        return False
    return data[1] & 0x18 != 0x08 and data[2] & 0xF0 != 0xF0 and data[2] & 0x0C != 0x0C


def _text(data: bytes) -> bool:
    """Text in UTF-8, UTF-16 with a mark or one of the one-byte encodings; no script, no page."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        text = data.decode("utf-16", "replace")
    else:
        text = data.removeprefix(b"\xef\xbb\xbf").decode("latin-1")
    return not _CONTROL.search(text) and not text.lstrip().lower().startswith(_NOT_PLAIN)


_JPEG = KnownKind("image", "JPEG", _starts(b"\xff\xd8\xff"))
_TIFF = KnownKind("image", "TIFF", _starts(b"II*\0", b"MM\0*"))
_HEIC = KnownKind(
    "image", "HEIC", _boxes(b"heic", b"heix", b"heim", b"heis", b"hevc", b"mif1", b"msf1")
)
_OGG = KnownKind("sound", "Ogg", _starts(b"OggS"))
_MP4 = KnownKind("film", "MP4", _boxes())

KINDS = {
    ".jpg": _JPEG,
    ".jpeg": _JPEG,
    ".png": KnownKind("image", "PNG", _starts(b"\x89PNG\r\n\x1a\n")),
    ".gif": KnownKind("image", "GIF", _starts(b"GIF87a", b"GIF89a")),
    ".webp": KnownKind("image", "WebP", _riff(b"WEBP")),
    ".tif": _TIFF,
    ".tiff": _TIFF,
    ".heic": _HEIC,
    ".heif": _HEIC,
    ".wav": KnownKind("sound", "WAV", _riff(b"WAVE")),
    ".mp3": KnownKind("sound", "MP3", _mp3),
    ".m4a": KnownKind("sound", "M4A", _boxes()),
    ".ogg": _OGG,
    ".oga": _OGG,
    ".opus": _OGG,
    ".flac": KnownKind("sound", "FLAC", _starts(b"fLaC")),
    ".mp4": _MP4,
    ".m4v": _MP4,
    ".mov": KnownKind("film", "MOV", _quicktime),
    ".webm": KnownKind("film", "WebM", _starts(b"\x1a\x45\xdf\xa3")),
    ".pdf": KnownKind("document", "PDF", _starts(b"%PDF-")),
    ".txt": KnownKind("text", "plain text", _text),
    ".csv": KnownKind("text", "plain text", _text),
}
"""By the name's ending, in lower case."""


def ending_of(name: str) -> str:
    """What follows the last dot of a file's name, with the dot, in lower case; may be empty."""
    stem, dot, ending = name.rpartition(".")
    return f".{ending.lower()}" if dot and stem else ""


def kind_of(name: str, head: bytes) -> tuple[Kind, str]:
    """What kind of file is called `name` and begins with `head`, and why it is not opened.

    The second is empty where both agree on a known kind: only then may a viewer be given it.
    """
    ending = ending_of(name)
    known = KINDS.get(ending)
    if known is None:
        called = f"a {ending} file" if ending else "a file without an ending"
        return "other", f"{called} is no picture, sound, film, PDF or plain text: not opened"
    if not head:
        return known.group, "empty: not opened"
    if not known.begins(head):
        return "other", f"named {ending}, but its content is not {known.name}: not opened"
    return known.group, ""
