"""A build as the program sees it: started, watched, stopped."""

from __future__ import annotations

import json
import subprocess
import sys
import threading
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from benchlore.index.progress import Progress
from benchlore.shop import Shop


@dataclass(frozen=True, slots=True)
class BuildEnd:
    """How a build ended.

    Attributes:
        published: a new index is in force.
        error: the name of the exception that ended it, else empty; `what` and `todo` as in it.
        stopped: it was stopped from here.
        warning: as in `BuildResult`.
    """

    published: bool = False
    error: str = ""
    what: str = ""
    todo: str = ""
    stopped: bool = False
    warning: str = ""


class BuildJob:
    """One build in a child process. `run` in one thread, `stop` from any."""

    def __init__(self, shop: Shop) -> None:
        self._shop = shop
        self._child: subprocess.Popen[str] | None = None
        self._stopped = False
        self._starting = threading.Lock()

    def run(self) -> Iterator[Progress | BuildEnd]:
        """Build; yield each report as it comes, then how it ended."""
        try:
            child = self._start()
        except OSError as error:
            yield BuildEnd(error="OSError", what=f"the build could not start: {error.strerror}")
            return
        if child is None or child.stdout is None:
            yield BuildEnd(stopped=True)
            return
        end: BuildEnd | None = None
        for line in child.stdout:
            message = read_message(line)
            if isinstance(message, BuildEnd):
                end = message
            elif message is not None:
                yield message
        code = child.wait()
        if self._stopped and end is None:
            yield BuildEnd(stopped=True)
        else:
            yield end or BuildEnd(error="ended", what=f"the build ended by itself (code {code})")

    def stop(self) -> None:
        """End the build. The index in force stays; what was encoded so far is used next time."""
        with self._starting:
            self._stopped = True
            if self._child is not None:
                self._child.kill()

    def _start(self) -> subprocess.Popen[str] | None:
        """Start the child, unless `stop` came first."""
        # -P: no module may be picked up from the folder that the program was started in.
        command = [sys.executable, "-P", "-m", "benchlore.tui.build_child"]
        with self._starting:
            if not self._stopped:
                self._child = subprocess.Popen(
                    [*command, str(self._shop.root), str(self._shop.index)],
                    stdin=subprocess.DEVNULL,
                    stdout=subprocess.PIPE,
                    stderr=subprocess.DEVNULL,
                    encoding="ascii",
                    errors="replace",
                )
            return self._child


def read_message(line: str) -> Progress | BuildEnd | None:
    """What one line from the child says; None when it is not one of its messages."""
    try:
        table: Any = json.loads(line)
        kind = table.pop("kind")
        if kind == "progress":
            return Progress(**table)
        return BuildEnd(**table) if kind in ("done", "error") else None
    except (ValueError, TypeError, KeyError, AttributeError):
        return None
