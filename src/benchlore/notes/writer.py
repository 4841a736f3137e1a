"""Writes a file so that at any moment either the old or the new one is there, whole."""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import secrets
import stat
import time
from collections.abc import Iterable, Iterator
from pathlib import Path

from benchlore.errors import NotWritten

NO_FILE = ""
"""As `expected_digest`: there must be no file of that name yet."""

TEMPORARY = ".benchlore-"
"""How the names of temporary files begin; they end in `.tmp`."""

_WINDOWS_BUSY = (5, 32, 33)
"""Windows error numbers while a scanner or reader has the target open."""

_LOCK_WAIT, _LOCK_LOOK = 5.0, 0.005
"""Seconds to wait for another saver, and between two looks."""

_WINDOWS_TRIES = 6
_WINDOWS_WAIT = 0.5

_REASONS = {
    errno.ENOSPC: "disk full",
    errno.EDQUOT: "no space left for this user",
    errno.EIO: "the disk reported an error",
    errno.EACCES: "not allowed",
    errno.EPERM: "not allowed",
    errno.EROFS: "the folder is read-only",
    errno.ENOENT: "the folder is not there",
    errno.ENOTDIR: "the folder is not there",
    errno.EISDIR: "a folder stands in its place",
    errno.ENAMETOOLONG: "the file name is too long",
}
_NO_MODES = (errno.EPERM, errno.ENOTSUP, errno.ENOSYS)
"""What file systems say that give all files one mode: no reason not to save."""

_NO_FOLDER_SYNC = (errno.EINVAL, errno.ENOTSUP, errno.EBADF, errno.EACCES, errno.EPERM)


class MayNotLast(NotWritten):
    """The file is written, but its folder could not be synced: a power cut may take it away.

    Attributes:
        path: the note below the shop, where the caller knows it.
    """

    path = ""


class NameTaken(NotWritten):
    """A file of that name is there already."""

    def __init__(self) -> None:
        super().__init__("not saved: a file of that name exists already", "choose another name")


def write_file(path: Path, data: bytes, expected_digest: str | None) -> None:
    """Write `data` to `path`: a hidden temporary file beside it, synced, then renamed.

    Args:
        path: the file; its folder must exist. A caller who wants to write through a link gives
            the path that it leads to.
        data: the whole content.
        expected_digest: SHA-256 of what the file held when it was read, hexadecimal; `NO_FILE`
            where it must not exist; None to replace whatever is there.

    Raises:
        NameTaken: there is a file, and there must be none.
        MayNotLast: it is written, but the folder could not be synced.
        NotWritten: nothing was written and no temporary file is left.
    """
    _write(path, (data,), expected_digest)


def write_new_file(path: Path, parts: Iterable[bytes]) -> None:
    """Like `write_file` for a new file that is too large to be held whole: part after part.

    Raises:
        NameTaken, NotWritten: as `write_file` does.
        What `parts` raises; nothing is left then.
    """
    _write(path, parts, NO_FILE)


def _write(path: Path, parts: Iterable[bytes], expected_digest: str | None) -> None:
    temporary = path.with_name(f"{TEMPORARY}{secrets.token_hex(8)}.tmp")
    try:
        _write_temporary(temporary, path, parts)
        if expected_digest == NO_FILE:
            _refuse_changed(path, expected_digest)
            _publish_new(temporary, path)
        else:
            with _held(path.parent):
                _refuse_changed(path, expected_digest)
                _rename(temporary, path)
    except OSError as error:
        _remove(temporary)
        raise NotWritten(f"not saved: {reason(error)}") from error
    except BaseException:
        _remove(temporary)
        raise
    _sync_folder(path.parent)


def _write_temporary(temporary: Path, path: Path, parts: Iterable[bytes]) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    descriptor = os.open(temporary, flags, 0o666)
    try:
        _take_permissions(descriptor, path)
        for part in parts:
            rest = memoryview(part)
            while rest:
                rest = rest[os.write(descriptor, rest) :]
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


@contextlib.contextmanager
def _held(folder: Path) -> Iterator[None]:
    """Keep other programs of this computer from comparing and replacing in `folder` meanwhile.

    The lock is on the folder itself and ends with the process, so none is ever left behind. Where
    a system or a share has no such locks, two savers within the same millisecond are not told.
    """
    try:
        import fcntl

        descriptor = os.open(folder, os.O_RDONLY)
    except (ImportError, OSError):
        yield
        return
    try:
        until = time.monotonic() + _LOCK_WAIT
        while True:
            try:
                fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
                break
            except BlockingIOError:
                if time.monotonic() > until:
                    raise NotWritten(
                        "not saved: another program is saving in the same folder", "try again"
                    ) from None
                time.sleep(_LOCK_LOOK)
            except OSError:
                break
        yield
    finally:
        os.close(descriptor)


def _take_permissions(descriptor: int, path: Path) -> None:
    """Those of the file that is replaced; for a new file those of its folder, and its group."""
    if not hasattr(os, "fchmod"):
        return
    try:
        mode, group = stat.S_IMODE(path.stat().st_mode), None
    except FileNotFoundError:
        folder = path.parent.stat()
        mode, group = stat.S_IMODE(folder.st_mode) & 0o666, folder.st_gid
    try:
        os.fchmod(descriptor, mode)
    except OSError as error:
        if error.errno not in _NO_MODES:
            raise
    if group is not None:
        with contextlib.suppress(OSError):  # one may not be in that group
            os.fchown(descriptor, -1, group)


def _refuse_changed(path: Path, expected_digest: str | None) -> None:
    if expected_digest is None:
        return
    try:
        found = hashlib.sha256(path.read_bytes()).hexdigest()
    except FileNotFoundError:
        found = NO_FILE
    if found == expected_digest:
        return
    if expected_digest == NO_FILE:
        raise NameTaken
    what = "was deleted" if found == NO_FILE else "changed"
    raise NotWritten(f"not saved: the note {what} since you opened it", "open it again, keep both")


def _publish_new(temporary: Path, path: Path) -> None:
    """Give the file its name unless another program took it in the meantime."""
    try:
        os.link(temporary, path)
    except FileExistsError:
        raise NameTaken from None
    except OSError:  # file systems without links: claim the name, then put the file in its place
        try:
            os.close(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666))
        except FileExistsError:
            raise NameTaken from None
        try:
            _rename(temporary, path)
        except BaseException:
            _remove(path)
            raise
    else:
        _remove(temporary)


def _rename(temporary: Path, path: Path) -> None:
    """Rename; on Windows try again while another program has the target open."""
    for attempt in range(1, _WINDOWS_TRIES + 1):
        try:
            os.replace(temporary, path)
            return
        except OSError as error:
            busy = getattr(error, "winerror", None) in _WINDOWS_BUSY
            if not busy or attempt == _WINDOWS_TRIES:
                raise
            time.sleep(_WINDOWS_WAIT)


def _remove(path: Path) -> None:
    with contextlib.suppress(OSError):
        path.unlink()


def _sync_folder(folder: Path) -> None:
    """Make the new name last; not every system lets a folder be synced."""
    try:
        descriptor = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(descriptor)
    except OSError as error:
        if error.errno not in _NO_FOLDER_SYNC:
            what = f"saved, but it may not last: {reason(error)}"
            raise MayNotLast(what, "keep your text and check the disk") from error
    finally:
        os.close(descriptor)


def reason(error: OSError) -> str:
    """Why a file could not be written, in a few plain words."""
    known = _REASONS.get(error.errno or 0)
    return known or (error.strerror or "unknown reason")
