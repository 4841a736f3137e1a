"""What can go wrong, as named exceptions, each with the exit code that it ends a command with.

Libraries raise these and never print; `cli` turns each into one line on standard error.
"""

from __future__ import annotations

DONE = 0
NOTHING_CLOSE = 1
SOMETHING_FOUND = 1
"""Of a check: as linters do."""
WRONG_USE = 2
NEEDS_A_LOOK = 3
UNUSABLE = 4
NOT_WRITTEN = 5
BUSY = 6
INTERRUPTED = 130


class BenchloreError(Exception):
    """Something the user must be told. `str(error)` is one line: what is wrong.

    Attributes:
        todo: what the user can do about it, one line, may be empty.
        exit_code: the exit code of a command that ends with it.
    """

    exit_code = UNUSABLE

    def __init__(self, what: str, todo: str = "") -> None:
        super().__init__(what)
        self.todo = todo


class UsageError(BenchloreError):
    """The command was called in a way that has no meaning."""

    exit_code = WRONG_USE


class ShopError(BenchloreError):
    """The shop folder is missing or cannot be read."""


class IndexMissing(BenchloreError):
    """There is no index yet."""


class IndexDamaged(BenchloreError):
    """A file of the index is not what the build wrote; nothing may be answered from it."""


class IndexForeign(BenchloreError):
    """The index was made by another version of benchlore, another model or for another shop."""


class IndexNewer(IndexForeign):
    """The index was made by a newer benchlore; it is left as it is."""


class ModelError(BenchloreError):
    """The sentence model is missing or is not the expected one."""


class NotWritten(BenchloreError):
    """A file could not be written; what was there before is unchanged."""

    exit_code = NOT_WRITTEN


class NoViewer(BenchloreError):
    """No program of the system showed a file."""


class Busy(BenchloreError):
    """Another benchlore is writing the index."""

    exit_code = BUSY
