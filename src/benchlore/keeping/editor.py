"""A note in the user's own editor: started without a shell, on a copy that is never lost."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

from benchlore.errors import BenchloreError

_USUAL = ("nano", "vi", "notepad.exe")


class NoEditor(BenchloreError):
    """There is no editor, or it could not be started."""


def editor_command() -> list[str]:
    """The user's editor as program and options: VISUAL, else EDITOR, else one that is there.

    Raises:
        NoEditor: none is named, or the text cannot be taken apart into words.
    """
    named = os.environ.get("VISUAL", "").strip() or os.environ.get("EDITOR", "").strip()
    try:
        words = shlex.split(named, posix=os.name != "nt")
    except ValueError as error:
        raise NoEditor(
            f"EDITOR cannot be read ({error})", "name a program, as in EDITOR=nano"
        ) from error
    if words:
        return words
    found = next((name for name in _USUAL if shutil.which(name)), None)
    if found is None or not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise NoEditor("no editor named", "name one, as in EDITOR=nano; or use --set FIELD=TEXT")
    return [found]


def edit_file(command: list[str], file: Path) -> None:
    """Let the user edit `file`, and wait. Signals of the terminal go to the editor meanwhile.

    Raises:
        NoEditor: it could not be started, or ended with an error.
    """
    try:
        code = subprocess.run([*command, os.fspath(file.absolute())], check=False).returncode
    except OSError as error:
        raise NoEditor(
            f"{command[0]} could not be started: {error.strerror}", "set EDITOR"
        ) from error
    if code:
        raise NoEditor(f"{command[0]} ended with code {code}", f"your text is in {file}")
