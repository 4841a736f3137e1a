"""Finding and reading note files. No path is followed out of the shop folder or waited on."""

from __future__ import annotations

import errno
import hashlib
import os
import stat
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from benchlore.shop import ATTACHMENT_FOLDER, NOTE_FOLDERS

NOTE_ENDINGS = (".md", ".txt")
MAX_BYTES = 256 * 1024
"""Bytes of one file that are read and searched."""


@dataclass(frozen=True, slots=True)
class Trouble:
    """A file or folder that could not be used: where, what is wrong, what to do."""

    path: str
    what: str
    todo: str = ""


@dataclass(frozen=True, slots=True)
class Found:
    """A note file that was seen. `path` is relative to the shop, with `/`."""

    path: str
    size: int
    mtime_ns: int


@dataclass(frozen=True, slots=True)
class Listing:
    files: tuple[Found, ...]
    troubles: tuple[Trouble, ...]


@dataclass(frozen=True, slots=True)
class Content:
    """The first `MAX_BYTES` of a file; `digest` is what `content_digest` makes of them."""

    data: bytes
    digest: str
    size: int
    mtime_ns: int


def list_notes(root: Path) -> Listing:
    """List the note files below `root`, sorted by path; hidden files and folders are passed over,
    and folders that hold a note's attachments.

    Links are followed where they stay inside the shop, and each folder is visited once. What is not
    a plain file, leads outside or cannot be read is a trouble, never an exception.
    """
    walk = _Walk(root)
    for name in NOTE_FOLDERS:
        walk.folder(name)
    files = sorted(walk.files, key=lambda found: os.fsencode(found.path))
    return Listing(tuple(files), tuple(walk.troubles))


class _Walk:
    def __init__(self, root: Path) -> None:
        self._root = os.path.realpath(root)
        self._seen: set[tuple[int, int]] = set()
        self.files: list[Found] = []
        self.troubles: list[Trouble] = []

    def folder(self, start: str) -> None:
        waiting = [start]
        while waiting:  # a list, not recursion: folders may be nested hundreds deep
            path = waiting.pop()
            try:
                info = os.stat(os.path.join(self._root, path))
                if not self._first_visit(info):
                    self.troubles.append(
                        Trouble(path, "leads back to a folder already listed", "visited once")
                    )
                    continue
                with os.scandir(os.path.join(self._root, path)) as entries:
                    listed = list(entries)
            except FileNotFoundError:
                continue
            except OSError as error:
                self.troubles.append(Trouble(path, reason(error), "its notes were not read"))
                continue
            kept = _attachment_folders(entry.name for entry in listed)
            for entry in listed:
                if not entry.name.startswith(".") and entry.name not in kept:
                    waiting.extend(self._entry(entry, f"{path}/{entry.name}"))

    def _first_visit(self, info: os.stat_result) -> bool:
        key = (info.st_dev, info.st_ino)
        if key in self._seen:
            return False
        self._seen.add(key)
        return True

    def _entry(self, entry: os.DirEntry[str], path: str) -> Iterator[str]:
        """Record a file, or yield a folder that is to be listed."""
        is_note = entry.name.lower().endswith(NOTE_ENDINGS)
        try:
            if entry.is_symlink() and not self._inside(entry.path):
                self.troubles.append(
                    Trouble(path, "leads outside the shop folder", "not opened; copy the file in")
                )
                return
            info = entry.stat()
        except FileNotFoundError:
            if is_note:
                self.troubles.append(
                    Trouble(path, "a link to a file that is gone", "mend the link")
                )
            return
        except OSError as error:
            if is_note or error.errno == errno.ELOOP:
                self.troubles.append(Trouble(path, reason(error), "not read"))
            return
        if stat.S_ISDIR(info.st_mode) and not is_note:
            yield path
        elif is_note and stat.S_ISREG(info.st_mode):
            self.files.append(Found(path, info.st_size, info.st_mtime_ns))
        elif is_note:
            self.troubles.append(Trouble(path, "not a plain file", "not read"))

    def _inside(self, path: str) -> bool:
        real = os.path.realpath(path)
        return real == self._root or real.startswith(self._root + os.sep)


def _attachment_folders(names: Iterable[str]) -> set[str]:
    """The names that the folders of attachments of the notes among `names` have."""
    stems = (os.path.splitext(name)[0] for name in names if name.lower().endswith(NOTE_ENDINGS))
    return {stem + ATTACHMENT_FOLDER for stem in stems}


def read_content(root: Path, path: str) -> Content:
    """Read one note file below `root`.

    Raises:
        OSError: it cannot be read; a link out of the shop and a file that is not plain raise
            `PermissionError` and `OSError(EINVAL)`.
    """
    return NoteReader(root).read(path)


class NoteReader:
    """Reads many note files of one shop, looking up each folder once.

    Where the folders on a path lead is kept: use it for one build, not for longer.
    """

    def __init__(self, root: Path) -> None:
        self._root = os.path.realpath(root)
        self._folders: dict[str, str] = {}

    def read(self, path: str) -> Content:
        """See `read_content`."""
        folder, _, name = path.rpartition("/")
        if folder not in self._folders:
            self._folders[folder] = os.path.realpath(os.path.join(self._root, folder))
        real = os.path.join(self._folders[folder], name)
        if name in ("", ".", "..") or os.path.islink(real):
            real = os.path.realpath(real)
        if not real.startswith(self._root + os.sep):
            raise PermissionError(errno.EPERM, "leads outside the shop folder")
        return _read(real)


def _read(real: str) -> Content:
    """Read a file by its real path."""
    # A pipe or a link may have replaced the file since: neither waited on nor followed.
    flags = ("O_NONBLOCK", "O_NOFOLLOW", "O_CLOEXEC")
    handle = os.open(real, os.O_RDONLY | sum(getattr(os, flag, 0) for flag in flags))
    with open(handle, "rb") as file:
        info = os.fstat(file.fileno())
        if not stat.S_ISREG(info.st_mode):
            raise OSError(errno.EINVAL, "not a plain file")
        data = file.read(MAX_BYTES)
    return Content(data, content_digest(data, info.st_size), info.st_size, info.st_mtime_ns)


def content_digest(data: bytes, size: int) -> str:
    """SHA-256 over what was read and, where that is not the whole file, over the file's size."""
    digest = hashlib.sha256(data)
    if size > len(data):
        digest.update(f"+{size}".encode())
    return digest.hexdigest()


def reason(error: OSError) -> str:
    """Why a file could not be read, in a few plain words."""
    if error.errno in (errno.EACCES, errno.EPERM):
        return "not readable: no permission"
    if error.errno == errno.ELOOP:
        return "a link that leads to itself"
    if error.errno == errno.ENAMETOOLONG:
        return "its path is longer than the system allows"
    return f"not readable: {error.strerror or error}"
