"""Faults put into a process from outside with strace: killed at, or refused, one system call."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

_CALL = re.compile(r"^(\d+) +(\w+)\((.*)")
_INJECTED = "(INJECTED)"
KILLED = (-signal.SIGKILL, 128 + signal.SIGKILL)

STEADY = {"PYTHONHASHSEED": "0", "PYTHONDONTWRITEBYTECODE": "1"}
"""Two runs of a program make the same calls in the same order only with these."""


@dataclass(frozen=True, slots=True)
class Point:
    """The `number`-th time (from 1) that a process makes the system call `call`."""

    call: str
    number: int


@dataclass(frozen=True, slots=True)
class Ended:
    """How a process under strace ended: `bitten` says that the fault was put in."""

    code: int
    stdout: str
    stderr: str
    log: str

    @property
    def killed(self) -> bool:
        return self.code in KILLED

    @property
    def bitten(self) -> bool:
        return _INJECTED in self.log


def can_trace() -> bool:
    """Whether strace is here and may trace."""
    if not shutil.which("strace"):
        return False
    return subprocess.run(["strace", "-o", os.devnull, "true"], capture_output=True).returncode == 0


def traced(
    command: Sequence[str | Path],
    options: Sequence[str] = (),
    env: dict[str, str] | None = None,
    timeout: float = 120,
) -> Ended:
    """Run `command` under strace, following its threads, with further `options` of strace."""
    with tempfile.TemporaryDirectory() as folder:
        log = Path(folder) / "log"
        done = subprocess.run(
            ["strace", "-f", "-qq", "-o", log, *options, *command],
            env={**os.environ, **STEADY, **(env or {})},
            capture_output=True,
            text=True,
            errors="backslashreplace",
            timeout=timeout,
            check=False,
        )
        text = log.read_text("utf-8", "backslashreplace")
    return Ended(done.returncode, done.stdout, done.stderr, text)


def points_between(log: str, begins: str, ends: str) -> list[Point]:
    """The calls between the lines of a log that hold `begins` and `ends`, each with its number
    counted from the start of the process."""
    points, inside = [], False
    for point, arguments in _calls(log):
        if ends in arguments:
            return points
        if inside:
            points.append(point)
        inside = inside or begins in arguments
    raise AssertionError(f"no {begins} or no {ends} in the log")


def points_about(log: str, part: str) -> list[Point]:
    """The calls of a log, written with `-y`, whose arguments name `part` of a path."""
    return [point for point, arguments in _calls(log) if part in arguments.partition(") = ")[0]]


def _calls(log: str) -> Iterator[tuple[Point, str]]:
    """The calls of the main thread with their arguments: strace counts for each thread alone."""
    counts: Counter[str] = Counter()
    main = ""
    for line in log.splitlines():
        call = _CALL.match(line)
        if not call:
            continue
        main = main or call[1]
        if call[1] == main:
            counts[call[2]] += 1
            yield Point(call[2], counts[call[2]]), call[3]


def killed_at(point: Point, command: Sequence[str | Path], also: str = "") -> Ended:
    """Run `command` and kill it as it enters the call of `point`; `also` is traced too."""
    return _injected(command, point.call, also, f"signal=KILL:when={point.number}")


def refused_at(
    point: Point, error: str, command: Sequence[str | Path], lasting: bool = False, also: str = ""
) -> Ended:
    """Run `command`, its call of `point` failing with `error` (ENOSPC...), once or from then on."""
    when = f"{point.number}{'+' if lasting else ''}"
    return _injected(command, point.call, also, f"error={error}:when={when}")


def _injected(command: Sequence[str | Path], call: str, also: str, fault: str) -> Ended:
    calls = f"{call},{also}" if also and also != call else call
    return traced(command, ["-e", f"trace={calls}", "-e", f"inject={call}:{fault}"])
