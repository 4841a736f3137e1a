"""Saves killed at every system call, at every line and at random: no note lost or torn."""

from __future__ import annotations

import json
import subprocess
import sys
from collections import Counter
from pathlib import Path

from tests.reliability import injecting, saving

SCRIPT = Path(saving.__file__)


def saving_command(what: str, kind: str, root: Path, *rest: int) -> list[str | Path]:
    return [sys.executable, SCRIPT, what, kind, root, *map(str, rest)]


def points_of_a_save(kind: str, root: Path) -> list[injecting.Point]:
    """Every system call that a save makes, as killing and refusing need them."""
    saving.prepare(kind, root)
    clean = injecting.traced(saving_command("save", kind, root))
    assert clean.code == 0, clean.stderr
    assert saving.state(root) == "new"
    return injecting.points_between(clean.log, saving.BEGINS, saving.ENDS)


def at_every_call(kind: str, root: Path) -> Counter[str]:
    """Kill a save as it enters each of its system calls; count the states that are left.

    `points` are the calls, `bitten` those at which the save was really killed half-way.
    """
    points = points_of_a_save(kind, root)
    counts = Counter(points=len(points))
    for point in points:
        saving.prepare(kind, root)
        ended = injecting.killed_at(point, saving_command("save", kind, root), "access")
        half_way = saving.BEGINS in ended.log and saving.ENDS not in ended.log
        counts["bitten"] += ended.killed and half_way
        counts[saving.state(root)] += 1
    return counts


def at_every_line(kind: str, root: Path) -> Counter[str]:
    """Kill a save before each of its lines of Python; see `saving.killed_at_every_line`."""
    return _counts(saving_command("lines", kind, root))


def at_random(kind: str, root: Path, times: int, seed: int) -> Counter[str]:
    """Kill `times` saves at random; see `saving.killed_at_random`."""
    return _counts(saving_command("random", kind, root, times, seed))


def _counts(command: list[str | Path]) -> Counter[str]:
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return Counter(json.loads(done.stdout))


def harmed(kind: str, counts: Counter[str]) -> int:
    """How many saves left the note in a state that it must not have."""
    told = {"points", "bitten", "killed", "temporary", *saving.allowed(kind)}
    return sum(count for state, count in counts.items() if state not in told)
