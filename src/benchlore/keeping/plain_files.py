"""Opening files that others put there: only plain ones, and never waiting for one."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path
from typing import BinaryIO

HEAD_BYTES = 4096
"""Bytes at a file's start by which its kind is known."""


def open_plain(path: str | Path, follow: bool = False) -> BinaryIO:
    """Open the plain file at `path` for reading; `follow` a link there.

    Raises:
        OSError: it cannot be opened; EINVAL where it is not a plain file. A pipe is not waited on.
        ValueError: no file can have that name.
    """
    names = ("O_NONBLOCK", "O_CLOEXEC", "O_BINARY", *(() if follow else ("O_NOFOLLOW",)))
    handle = os.open(path, os.O_RDONLY | sum(getattr(os, name, 0) for name in names))
    if stat.S_ISREG(os.fstat(handle).st_mode):
        return open(handle, "rb")
    os.close(handle)
    raise OSError(errno.EINVAL, "not a plain file")


def read_head(path: str | Path) -> tuple[bytes, int]:
    """The first bytes of a plain file, and its size; see `open_plain`."""
    with open_plain(path) as file:
        return file.read(HEAD_BYTES), os.fstat(file.fileno()).st_size
