"""Writing to the terminal or a pipe, so that nothing a note holds can act on it or crash it."""

from __future__ import annotations

import errno
import json
import os
import shutil
import sys
import textwrap
from collections.abc import Mapping
from typing import Any, TextIO

import click

from benchlore.errors import NotWritten
from benchlore.text import encodable, shown

MIN_WIDTH, MAX_WIDTH = 40, 100


def is_plain(stream: TextIO) -> bool:
    """True when `stream` takes no styling: a pipe, a dumb terminal, or NO_COLOR is set."""
    return bool(
        not stream.isatty() or os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb"
    )


def width() -> int:
    """Columns to write in."""
    return max(MIN_WIDTH, min(shutil.get_terminal_size((80, 24)).columns, MAX_WIDTH))


def say(text: str = "", style: str = "") -> None:
    """Write `text`, made harmless, and a line feed to standard output.

    `style` is "bold" or "dim"; it only ever repeats what the words say.
    """
    _write(sys.stdout, text, style)


def warn(text: str) -> None:
    """Write `text`, made harmless, and a line feed to standard error."""
    _write(sys.stderr, text, "")


def say_json(value: Mapping[str, Any]) -> None:
    """Write `value` as one line of ASCII JSON: readable by every parser in every encoding, and
    without a character that a terminal would act on."""
    text = json.dumps(value, ensure_ascii=True).replace("\x7f", "\\u007f")
    _put(sys.stdout, text + "\n")


def hanging(label: str, text: str, indent: int = 3, label_width: int = 9) -> str:
    """Wrap `text` behind a label: `   Found:   first line` and further lines below the first."""
    lead = " " * indent + label.ljust(label_width)
    return textwrap.fill(
        shown(text),
        width(),
        initial_indent=lead,
        subsequent_indent=" " * len(lead),
        break_long_words=True,
        break_on_hyphens=False,
    )


def _write(stream: TextIO, text: str, style: str) -> None:
    safe = encodable(shown(text), stream.encoding or "ascii")
    if style and not is_plain(stream):
        safe = click.style(safe, bold=style == "bold", dim=style == "dim")
    _put(stream, safe + "\n")


def _put(stream: TextIO, text: str) -> None:
    try:
        stream.write(text)
    except OSError as error:
        raise_unwritable(error)


def finish() -> None:
    """Bring out what is still held back, so that a full disk is noticed while it can be told."""
    try:
        sys.stdout.flush()
    except OSError as error:
        raise_unwritable(error)


def raise_unwritable(error: OSError) -> None:
    """Turn a failed write into what the user is told; a closed pipe is passed on as it is."""
    if error.errno in (errno.EPIPE, errno.EINVAL) or isinstance(error, BrokenPipeError):
        raise BrokenPipeError from error
    raise NotWritten(f"the output could not be written: {error.strerror}") from error
