"""Handing an attachment to the system's own viewer."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import threading

from benchlore.errors import BenchloreError, NoViewer
from benchlore.keeping.attachments import Attachment, seen_again

WAIT_S = 1.0
"""How long the viewer is given to say that it failed."""

_MAC_OPEN = "/usr/bin/open"


def open_command(attachment: Attachment) -> list[str]:
    """The viewer's program and the file's absolute path; empty on Windows, which has a call for it.

    Raises:
        BenchloreError: it may not be opened.
        NoViewer: nothing here could show it.
    """
    path = attachment.path
    if attachment.state != "there" or path is None:
        raise BenchloreError(f"{attachment.written}: {attachment.says}")
    if not path.is_absolute():
        raise BenchloreError(f"{attachment.written}: not an absolute path: not opened")
    if sys.platform == "win32":
        return []
    if sys.platform == "darwin":
        return [_MAC_OPEN, os.fspath(path)]
    program = _found("xdg-open")
    if program is None:
        raise _no_viewer("no viewer found", attachment)
    if not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        raise _no_viewer("no screen to show it on", attachment)
    return [program, os.fspath(path)]


def open_file(attachment: Attachment) -> None:
    """Open it with the system's viewer, which goes on by itself; waits for a second at most.

    The file is looked at once more just before.

    Raises:
        BenchloreError: it may not be opened, or no longer.
        NoViewer: there is none, or it says that it failed.
    """
    now = seen_again(attachment)
    command = open_command(now)
    try:
        if sys.platform == "win32":
            os.startfile(os.fspath(now.path))
            return
        process = subprocess.Popen(
            command,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
            cwd=os.sep,  # it may outlive us, and must not keep a stick or share in use
        )
    except OSError as error:
        raise _no_viewer(f"the viewer did not start ({error.strerror})", now) from error
    try:
        code = process.wait(WAIT_S)
    except subprocess.TimeoutExpired:  # it is open; somebody must take its exit code
        threading.Thread(target=process.wait, daemon=True).start()
        return
    if code:
        raise _no_viewer("no viewer opened it", now)


def _found(program: str) -> str | None:
    """Where `program` lies; never in the current folder, which may be a shop's."""
    places = os.environ.get("PATH", os.defpath).split(os.pathsep)
    return shutil.which(program, path=os.pathsep.join(filter(os.path.isabs, places)))


def _no_viewer(what: str, attachment: Attachment) -> NoViewer:
    return NoViewer(f"{what}: the file lies at {attachment.path}", "open it with another program")
