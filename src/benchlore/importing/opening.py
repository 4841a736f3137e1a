"""Text files of any size, line by line, whatever their encoding."""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterator
from pathlib import Path

from benchlore.errors import UsageError
from benchlore.importing.incoming import SourceError
from benchlore.notes.decode import READ_CAP, NotText, decode, read_strays

LONGEST_LINE = 1024 * 1024
"""Characters of one line; no table or note has longer ones, and a file of one line must not fill
the memory."""

_MARK = "\ufeff"
"""The byte order mark, where an encoding was named that leaves it in."""

_STRAY = re.compile("[\udc80-\udcff]")
_WIDE = ("utf-16-le", "utf-16-be", "utf-32-le", "utf-32-be")


class TextSource:
    """A text file that is read from its beginning as often as it is asked for.

    Attributes:
        encoding: `utf-8`, `utf-16` or what was named.
    """

    def __init__(self, path: Path, encoding: str = "") -> None:
        """Look at the beginning of the file. Bytes that are no UTF-8 are read as Windows-1252.

        Args:
            path: the file.
            encoding: how it is written, where the user names it; else a byte order mark says so.

        Raises:
            SourceError: the file cannot be read, or is no text.
            UsageError: nobody knows `encoding`.
        """
        self._path = path
        self._name = path.name
        try:
            if not path.is_file():
                raise SourceError(f"{self._name} is not a plain file")
            with path.open("rb") as file:
                head = file.read(READ_CAP)
        except OSError as error:
            raise SourceError(f"{self._name} cannot be read: {error.strerror}") from error
        if encoding:
            try:
                self.encoding = codecs.lookup(encoding).name
                "".encode(self.encoding)
            except (LookupError, UnicodeError):
                raise UsageError(
                    f"no encoding is called '{encoding}'", "for example utf-8, cp1252, utf-16-le"
                ) from None
            self._errors = "strict"
            return
        self._errors = "surrogateescape"
        try:
            found = decode(head).encoding
        except NotText:
            raise SourceError(
                f"{self._name} is not text",
                "a spreadsheet is saved as CSV first; for UTF-16 without a mark: "
                "--encoding utf-16-le",
            ) from None
        self.encoding = "utf-8-sig"
        if found in _WIDE:
            self.encoding = found.rpartition("-")[0]
            self._errors = "replace"

    def lines(self) -> Iterator[str]:
        """The lines with their ends, each ended by LF, CR LF or CR.

        Raises:
            SourceError: the file cannot be read on, is not in the encoding that was named, or has a
                line longer than `LONGEST_LINE`.
        """
        number = 0
        try:
            with open(self._path, encoding=self.encoding, errors=self._errors, newline="") as file:
                while line := file.readline(LONGEST_LINE):
                    number += 1
                    if number == 1:
                        line = line.removeprefix(_MARK)
                    if len(line) >= LONGEST_LINE:
                        raise SourceError(
                            f"{self._name}:{number}: a line of over 1 MB", "is it the right file?"
                        )
                    yield line if line.isascii() else read_strays(line)
        except UnicodeError:
            raise SourceError(
                f"{self._name} is not {self.encoding} after line {number}",
                "name another --encoding, or none",
            ) from None
        except OSError as error:
            raise SourceError(f"{self._name} cannot be read: {error.strerror}") from error

    def guessed(self) -> bool:
        """Whether there are bytes that were read as Windows-1252 on a guess.

        Raises:
            SourceError: the file cannot be read on.
        """
        if self._errors != "surrogateescape":
            return False
        try:
            with open(self._path, encoding="utf-8", errors="surrogateescape", newline="") as file:
                while part := file.read(LONGEST_LINE):
                    if _STRAY.search(part):
                        return True
        except OSError as error:
            raise SourceError(f"{self._name} cannot be read: {error.strerror}") from error
        return False
