"""Photos, sound and other files that belong to a note: where they lie, opening, keeping them.

They are data that anybody may have written: a file is only ever handed to the system's viewer, and
only where its ending and its first bytes agree on a kind that a viewer shows or plays. Nothing is
run, no shell takes part, no path leads out of the shop folder.
"""

from __future__ import annotations

import errno
import os
import posixpath
import re
import stat
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Literal

from benchlore.errors import NotWritten
from benchlore.keeping.file_kinds import Kind, ending_of, kind_of
from benchlore.keeping.names import file_stem, same_name
from benchlore.keeping.plain_files import open_plain, read_head
from benchlore.keeping.saving import real_place, sweep
from benchlore.notes.writer import NameTaken, reason, write_new_file
from benchlore.shop import ATTACHMENT_FOLDER

State = Literal[
    "there", "missing", "outside", "not a file", "not opened: kind", "not readable", "not a place"
]

MAX_BYTES = 100_000_000
"""The largest file that is copied beside a note."""

_PART = 1 << 20
_MOST_NUMBERS = 999
_GOOD_STEM = re.compile(r"\w[\w.()\[\]+-]*( [\w.()\[\]+-]+)*")
_ENDING = re.compile(r"\.[a-z0-9]{1,8}")

_SAID = {
    "missing": "missing",
    "outside": "leads outside the shop folder: not opened",
    "not a file": "not a plain file: not opened",
}
_ADDRESS = re.compile(r"[A-Za-z][A-Za-z0-9+.\-]+:")
_DRIVE = re.compile(r"[A-Za-z]:")


@dataclass(frozen=True, slots=True)
class Attachment:
    """A file that a note lists.

    Attributes:
        written: the place as it stands in the note.
        path: where the file really lies, absolute, links followed; None where there is none that
            one may look at.
        state: `there` is the only one that may be opened.
        kind: what it is; `other` where that is not known.
        size: in bytes; 0 where there is no file.
        why: why it is not opened, in words; empty where it is `there`.
    """

    written: str
    path: Path | None
    state: State
    kind: Kind = "other"
    size: int = 0
    why: str = ""

    @property
    def says(self) -> str:
        """Its state in words: `image, 1.2 MB`, `missing`, ..."""
        if self.state == "there":
            return f"{self.kind}, {size_words(self.size)}"
        return self.why

    @property
    def needs_a_look(self) -> bool:
        """Whether the note should be mended; a file of a kind that is not opened is no fault."""
        return self.state not in ("there", "not opened: kind")


def attachments_of(
    shop_root: Path, note_path: str, listed: Iterable[str]
) -> tuple[Attachment, ...]:
    """What a note's list of files leads to, in its order, each place once."""
    return tuple(place_of(shop_root, note_path, each) for each in dict.fromkeys(listed))


def place_of(shop_root: Path, note_path: str, written: str) -> Attachment:
    """Find the file `written`, as listed in the note at `note_path`, and say what it is.

    Args:
        shop_root: the shop folder.
        note_path: the note, relative to the shop, with `/`.
        written: a place relative to the note's own folder, with `/` between its parts.

    Nothing is raised: what is wrong is the attachment's state. A pipe or device is not waited on.
    """
    refused = _no_place(written)
    if refused is not None:
        return refused
    root = os.path.realpath(shop_root)
    folder = os.path.join(root, *posixpath.dirname(note_path).split("/"))
    try:
        real = os.path.realpath(_as_spelled(os.path.join(folder, written)))
    except (OSError, ValueError):  # a NUL, a character that no file name can hold
        return _in_state(written, "missing")
    if not real.startswith(root + os.sep):
        return _in_state(written, "outside")
    return _inspect(written, real)


def seen_again(attachment: Attachment) -> Attachment:
    """The same file as it is now: it may have been replaced since it was listed."""
    if attachment.path is None:
        return attachment
    real = os.path.realpath(attachment.path)
    if real != os.fspath(attachment.path):
        return _in_state(attachment.written, "outside")
    return _inspect(attachment.written, real)


def size_words(size: int) -> str:
    """A file's size as people say it: `812 bytes`, `34 kB`, `1.2 MB`."""
    if size < 1000:
        return f"{size} bytes"
    if size < 999_500:
        return f"{size / 1000:.0f} kB"
    if size < 999_950_000:
        return f"{size / 1e6:.1f} MB"
    return f"{size / 1e9:.1f} GB"


def _in_state(written: str, state: State) -> Attachment:
    return Attachment(written, None, state, why=_SAID[state])


def _no_place(written: str) -> Attachment | None:
    """Why `written` is no place below a folder, if so."""
    if written.startswith(("/", "\\")) or _DRIVE.match(written):
        return _in_state(written, "outside")
    if not written.strip():
        why = "no file is named: not opened"
    elif _ADDRESS.match(written):
        why = "an address, not a file beside the note: not opened"
    elif "\\" in written:
        why = "written with \\: write / between folder and file"
    elif os.name == "nt" and ":" in written:  # a second stream of a file
        why = "a file name holds no colon: not opened"
    else:
        return None
    return Attachment(written, None, "not a place", why=why)


def _as_spelled(path: str) -> str:
    """`path`, or its one neighbour whose name differs in capitals or in how accents are coded.

    Cameras, file sync and other systems change both.
    """
    if os.path.lexists(path):
        return path
    folder, name = os.path.split(path)
    try:
        twins = [each for each in os.listdir(folder) if same_name(each) == same_name(name)]
    except OSError:
        return path
    return os.path.join(folder, twins[0]) if len(twins) == 1 else path


def _inspect(written: str, real: str) -> Attachment:
    """Say what the file at the real path `real` is."""
    try:
        info = os.stat(real, follow_symlinks=False)
        if not stat.S_ISREG(info.st_mode):
            return _in_state(written, "not a file")
        head, size = read_head(real)
    except (FileNotFoundError, NotADirectoryError):
        return _in_state(written, "missing")
    except OSError as error:
        return _unreadable(written, error)
    kind, why = kind_of(os.path.basename(real), head)
    return Attachment(written, Path(real), "not opened: kind" if why else "there", kind, size, why)


def _unreadable(written: str, error: OSError) -> Attachment:
    if error.errno in (errno.EINVAL, errno.ELOOP):  # replaced while it was looked at
        return _in_state(written, "not a file")
    if error.errno in (errno.EACCES, errno.EPERM):
        why = "not readable: no permission"
    else:
        why = f"not readable: {error.strerror or 'unknown reason'}"
    return Attachment(written, None, "not readable", why=why)


def attach(shop_root: Path, note_path: str, source: Path) -> str:
    """Copy a file, from a camera's stick for example, beside a note; return its place for `files:`.

    It goes to `NOTE-STEM-files/` in the note's folder, under its own name in letters that are good
    on every system, with `-2`, `-3` and so on where that name is taken. Whether a viewer will be
    given it is `place_of`'s to say.

    Args:
        shop_root: the shop folder.
        note_path: the note, relative to the shop, with `/`.
        source: any plain file, links followed.

    Raises:
        NotWritten: nothing was copied: it cannot be read, is empty or larger than `MAX_BYTES`, or
            the copy cannot be written.
    """
    try:
        file = open_plain(source, follow=True)
    except (OSError, ValueError) as error:
        raise NotWritten(f"not attached: {source.name}: {_why_unread(error)}") from error
    with file:
        size = os.fstat(file.fileno()).st_size
        if not size:
            raise NotWritten(
                f"not attached: {source.name} is empty", "copy it from the camera again"
            )
        if size > MAX_BYTES:
            raise _too_large(source, size)
        folder = f"{_stem(note_path)}{ATTACHMENT_FOLDER}"
        place = real_place(shop_root, posixpath.join(posixpath.dirname(note_path), folder))
        name = _copy(file, source, place)
    return f"{folder}/{name}"


def _copy(file: BinaryIO, source: Path, place: Path) -> str:
    """Copy an open file into the folder `place` and return the name it got."""
    ending = ending_of(source.name)
    if not _ENDING.fullmatch(ending):
        ending = ""
    stem = file_stem(source.name[: len(source.name) - len(ending)])
    try:
        place.mkdir(exist_ok=True)
        sweep(place)
        taken = {same_name(name) for name in os.listdir(place)}
    except OSError as error:
        raise NotWritten(f"not attached: {reason(error)}") from error
    for number in range(1, _MOST_NUMBERS + 1):
        name = f"{stem}{f'-{number}' if number > 1 else ''}{ending}"
        if name in taken:
            continue
        try:
            file.seek(0)
            write_new_file(place / name, _parts(file, source))
        except NameTaken:  # another program was quicker
            continue
        return name
    raise NotWritten(f"not attached: {_MOST_NUMBERS} files of that name", "rename it first")


def _parts(file: BinaryIO, source: Path) -> Iterator[bytes]:
    """The content of `source`, never more of it than may be kept."""
    size = 0
    while True:
        try:
            part = file.read(_PART)
        except OSError as error:  # the stick was pulled out
            what = f"not attached: {source.name}: {_why_unread(error)}"
            raise NotWritten(what, "put the stick in again") from error
        if not part:
            return
        size += len(part)
        if size > MAX_BYTES:
            raise _too_large(source, size)
        yield part


def _stem(note_path: str) -> str:
    """What a note's folder of files is called after: its name where that is good on every system.

    The folder's name must come back from the note's front matter as it is.
    """
    stem = posixpath.splitext(posixpath.basename(note_path))[0]
    return stem if _GOOD_STEM.fullmatch(stem) else file_stem(stem)


def _too_large(source: Path, size: int) -> NotWritten:
    most = size_words(MAX_BYTES)
    return NotWritten(
        f"not attached: {source.name} has {size_words(size)}, more than {most}",
        "make it smaller, or keep it elsewhere and say where in the note",
    )


def _why_unread(error: OSError | ValueError) -> str:
    if isinstance(error, FileNotFoundError):
        return "there is no such file"
    if isinstance(error, OSError):
        return error.strerror or "cannot be read"
    return "no file can have that name"
