"""Builds at once, and searches while they run: one whole index, every answer whole."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from benchlore.errors import BUSY, DONE, BenchloreError
from benchlore.index.opened import open_index
from benchlore.search.engine import Engine
from benchlore.search.results import Question
from benchlore.shop import find_shop

AT_ONCE = 4
QUESTION = Question("noise from the rear axle", limit=1000)


def builds_at_once(root: Path, rounds: int) -> Counter[str]:
    """In each round a note is added and four builds start at once; one must take it in.

    `wrong` counts other exit codes than done and busy, and indexes without the note.
    """
    counts: Counter[str] = Counter()
    for number in range(rounds):
        _add(root, f"at-once-{number}")
        codes = [process.wait(timeout=300) for process in _start(root, AT_ONCE)]
        for code in codes:
            counts[{DONE: "done", BUSY: "busy"}.get(code, "wrong")] += 1
        counts["wrong"] += codes.count(DONE) < 1 or not _holds(root, f"at-once-{number}")
        counts["tried"] += 1
    return counts


def searches_during_builds(root: Path, count: int) -> Counter[str]:
    """Search `count` times while builds follow each other; each answer is of one whole index.

    Each build adds a note, so answers may only grow. `wrong` counts answers that shrink, leave a
    gap or fail.
    """
    counts: Counter[str] = Counter()
    added, before = 0, 0
    builds: Sequence[subprocess.Popen[bytes]] = ()
    while counts["tried"] < count:
        if not builds or builds[0].poll() is not None:
            counts["builds"] += len(builds)
            counts["wrong"] += any(process.returncode != DONE for process in builds)
            _add(root, f"during-{added}")
            added += 1
            builds = _start(root, 1)
        try:
            seen = _numbers(root, "during-")
        except BenchloreError:
            counts["wrong"] += 1
        else:
            whole = seen == set(range(len(seen)))
            counts["wrong"] += not whole or not before <= len(seen) <= added
            before = len(seen)
        counts["tried"] += 1
    for process in builds:
        process.wait(timeout=300)
    return counts


def _add(root: Path, name: str) -> None:
    (root / "kb" / f"{name}.txt").write_text(f"noise {name} from the rear axle\n")


def _start(root: Path, number: int) -> list[subprocess.Popen[bytes]]:
    command = [sys.executable, "-m", "benchlore", "--shop", str(root), "build"]
    quiet = subprocess.DEVNULL
    return [subprocess.Popen(command, stdout=quiet, stderr=quiet) for _ in range(number)]


def _paths(root: Path) -> set[str]:
    opened = open_index(find_shop(str(root)))
    try:
        return {hit.note.path for hit in Engine(opened).find(QUESTION).cases}
    finally:
        opened.close()


def _holds(root: Path, name: str) -> bool:
    return f"kb/{name}.txt" in _paths(root)


def _numbers(root: Path, start: str) -> set[int]:
    names = (Path(path).stem for path in _paths(root))
    return {int(name.removeprefix(start)) for name in names if name.startswith(start)}
