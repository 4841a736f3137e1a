"""Saves one note in a process of its own, to be killed or refused its system calls.

    python saving.py save KIND FOLDER            one save, between two marks that a trace shows
    python saving.py lines KIND FOLDER           killed before every line of the writer
    python saving.py random KIND FOLDER N SEED   N saves, each killed at a random moment

KIND says what is saved, see `KINDS`. The last two print their counts as JSON. Only what saving
needs is imported: the process is started hundreds of times.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import random
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

from benchlore.errors import NotWritten
from benchlore.keeping import saving

NAME = "kb/2025-0147.md"
OLD = b"---\ncase: 2025-0147\nsymptom: Droning hum\n---\n" + b"Old text.\n" * 900
NEW = b"---\ncase: 2025-0147\nsymptom: Droning hum\n---\n" + b"New and longer text.\n" * 900
BEGINS, ENDS = "/benchlore-save-begins", "/benchlore-save-ends"


def _replaced(root: Path) -> None:
    saving.save_changed(root, NAME, NEW, hashlib.sha256(OLD).hexdigest())


def _new(root: Path) -> None:
    folder, _, name = NAME.partition("/")
    saving.save_new(root, folder, name.removesuffix(".md"), NEW)


KINDS: dict[str, Callable[[Path], None]] = {"replaced": _replaced, "new": _new}
"""`replaced`: the note is there and must still hold what was read; `new`: it must not be there."""


def prepare(kind: str, root: Path) -> None:
    """Bring `root` to the state before a save; what a killed one left is taken away."""
    folder = (root / NAME).parent
    folder.mkdir(parents=True, exist_ok=True)
    for file in folder.iterdir():
        file.unlink()
    if kind == "replaced":
        (root / NAME).write_bytes(OLD)


def state(root: Path) -> str:
    """What the note is now: old, new, missing or torn; `+ stranger` where another file is there
    that would be read as a note."""
    try:
        data = (root / NAME).read_bytes()
    except FileNotFoundError:
        found = "missing"
    else:
        found = {OLD: "old", NEW: "new"}.get(data, "torn")
    strangers = {name for name in os.listdir((root / NAME).parent) if not name.startswith(".")}
    return found if strangers <= {Path(NAME).name} else f"{found} + stranger"


def allowed(kind: str) -> set[str]:
    """The states in which a killed save may leave the note."""
    return {"old", "new"} if kind == "replaced" else {"missing", "new"}


def save(kind: str, root: Path) -> int:
    """Save once; the exit code says whether it was done."""
    done = 0
    os.access(BEGINS, os.F_OK)
    try:
        KINDS[kind](root)
    except NotWritten as error:
        # Where every write is refused this one is, too; the exit code has said it.
        with contextlib.suppress(OSError):
            os.write(2, f"{error}; {error.todo}\n".encode())
        done = error.exit_code
    os.access(ENDS, os.F_OK)
    return done


def killed_at_every_line(kind: str, root: Path) -> dict[str, int]:
    """Kill a save before its first line of Python, its second, and so on up to a whole one."""
    counts: dict[str, int] = {}
    for line in range(1, 10_000):
        prepare(kind, root)
        child = os.fork()
        if not child:
            _die_at_line(line)
            KINDS[kind](root)
            os._exit(0)
        killed = _was_killed(child)
        _count(counts, state(root))
        if not killed:
            assert state(root) == "new", "a save that nobody killed did not save"
            counts["points"] = line - 1
            return counts
    raise AssertionError("a save of ten thousand lines?")


def _die_at_line(wanted: int) -> None:
    seen = 0

    def trace(frame: FrameType, event: str, argument: object) -> Any:  # noqa: ANN401
        nonlocal seen
        if "benchlore" not in frame.f_code.co_filename:
            return None
        if event == "line":
            seen += 1
            if seen == wanted:
                os.kill(os.getpid(), signal.SIGKILL)
        return trace

    sys.settrace(trace)


def killed_at_random(kind: str, root: Path, times: int, seed: int) -> dict[str, int]:
    """Kill `times` saves, each at a moment drawn from the time that a save takes."""
    chance = random.Random(seed)
    counts = {"killed": 0, "temporary": 0}
    longest = _time_of_a_save(kind, root)
    while counts["killed"] < times:
        prepare(kind, root)
        child = os.fork()
        if not child:
            KINDS[kind](root)
            os._exit(0)
        time.sleep(chance.random() * longest)
        os.kill(child, signal.SIGKILL)
        if _was_killed(child):
            counts["killed"] += 1
            counts["temporary"] += any(
                name.startswith(".benchlore-") for name in os.listdir((root / NAME).parent)
            )
            _count(counts, state(root))
    return counts


def _time_of_a_save(kind: str, root: Path) -> float:
    taken = []
    for _ in range(9):
        prepare(kind, root)
        started = time.monotonic()
        child = os.fork()
        if not child:
            KINDS[kind](root)
            os._exit(0)
        os.waitpid(child, 0)
        taken.append(time.monotonic() - started)
    return sorted(taken)[4]


def _was_killed(child: int) -> bool:
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        return os.WTERMSIG(status) == signal.SIGKILL
    assert os.waitstatus_to_exitcode(status) == 0, "the save itself failed"
    return False


def _count(counts: dict[str, int], what: str) -> None:
    counts[what] = counts.get(what, 0) + 1


def main(what: str, kind: str, folder: str, *rest: str) -> int:
    root = Path(folder)
    if what == "save":
        return save(kind, root)
    if what == "lines":
        print(json.dumps(killed_at_every_line(kind, root)))
    else:
        times, seed = map(int, rest)
        print(json.dumps(killed_at_random(kind, root, times, seed)))
    return 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
