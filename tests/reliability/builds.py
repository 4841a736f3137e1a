"""Builds killed at, or refused, the system calls that touch the index: the index before answers."""

from __future__ import annotations

import os
import shutil
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from tests.reliability import injecting
from tests.reliability.injecting import Ended, Point

from benchlore.errors import BUSY, DONE, NEEDS_A_LOOK, NOT_WRITTEN, BenchloreError
from benchlore.index.build import build
from benchlore.index.opened import open_index
from benchlore.search.engine import Engine
from benchlore.search.results import Question
from benchlore.shop import Shop, find_shop
from shops import no_report

CALLS = ("openat", "write", "pwrite64", "fsync", "fdatasync", "rename", "unlink", "ftruncate",
         "copy_file_range", "sendfile", "flock")  # fmt: skip
"""Calls by which a build changes the index."""

BEFORE, ADDED = 3, 30
QUESTION = Question("noise from the rear axle", limit=100)


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a build ended that was harmed at `point`, and what was wrong with it, if anything."""

    point: Point
    error: str
    ended: Ended
    wrong: str


class BuildUnderTest:
    """A shop of 3 notes with its index, and 30 notes added that the build is to take in."""

    def __init__(self, folder: Path, model: Path) -> None:
        """`model` is an index folder that holds the exported encoder."""
        self.root = folder / "shop"
        self._kept = folder / "kept"
        (self.root / "kb").mkdir(parents=True)
        shutil.copytree(model, self.root / "index")
        self._write(0, BEFORE)
        build(self._shop(), no_report)
        self._write(BEFORE, BEFORE + ADDED)
        self._copy(self.root / "index", self._kept)

    def _shop(self) -> Shop:
        return find_shop(str(self.root))

    def _write(self, first: int, last: int) -> None:
        for number in range(first, last):
            text = f"noise number {number} from the rear axle\n"
            (self.root / "kb" / f"{number}.txt").write_text(text)

    def _copy(self, source: Path, target: Path) -> None:
        """The encoder, which no build changes, is linked: it is 90 MB."""
        target.mkdir()
        for file in source.iterdir():
            make = os.link if file.name.startswith("encoder-") else shutil.copyfile
            make(file, target / file.name)

    def restore(self) -> None:
        """Bring the index to the state before the build."""
        shutil.rmtree(self.root / "index")
        self._copy(self._kept, self.root / "index")

    @property
    def command(self) -> list[str | Path]:
        return [sys.executable, "-m", "benchlore", "--shop", self.root, "build"]

    def points(self) -> list[Point]:
        """Every call of a clean build that changes the index."""
        self.restore()
        clean = injecting.traced(self.command, ["-y", "-e", f"trace={','.join(CALLS)}"])
        assert clean.code == DONE, clean.stderr
        self.restore()
        return injecting.points_about(clean.log, f"{self.root}/index/")

    def found(self) -> int:
        """How many notes a search finds: 3 before, 33 after; -1 where it says what is wrong."""
        try:
            opened = open_index(self._shop())
            try:
                return len(Engine(opened).find(QUESTION).cases)
            finally:
                opened.close()
        except BenchloreError:
            return -1

    def kills(self, points: Sequence[Point]) -> Iterator[Outcome]:
        """Kill a build at each of `points`."""
        for point in points:
            self.restore()
            ended = injecting.killed_at(point, self.command)
            wrong = "" if ended.killed else f"not killed: exit code {ended.code}"
            yield Outcome(point, "KILL", ended, wrong or self._harm())

    def refusals(
        self, points: Sequence[Point], errors: Sequence[str], lasting: bool = False
    ) -> Iterator[Outcome]:
        """Fail each of `points` with each of `errors`."""
        for point in points:
            for error in errors:
                self.restore()
                ended = injecting.refused_at(point, error, self.command, lasting)
                yield Outcome(point, error, ended, self._refused_wrongly(ended) or self._harm())

    def _refused_wrongly(self, ended: Ended) -> str:
        if not ended.bitten:
            return "the call did not fail"
        if "Traceback" in ended.stderr:
            return f"traceback: {ended.stderr.strip()[-200:]}"
        if ended.code not in (DONE, NEEDS_A_LOOK, NOT_WRITTEN, BUSY):
            return f"exit code {ended.code}: {ended.stderr.strip()[-200:]}"
        return ""

    def _harm(self) -> str:
        """What a harmed build did to the index, or to the next build."""
        found = self.found()
        if found not in (BEFORE, BEFORE + ADDED):
            return f"{found} notes are found"
        build(self._shop(), no_report)
        found = self.found()
        return "" if found == BEFORE + ADDED else f"{found} notes are found after the next build"


def counted(outcomes: Iterator[Outcome]) -> tuple[Counter[str], list[str]]:
    """Count outcomes, and say what was wrong with those that were."""
    counts: Counter[str] = Counter()
    told = []
    for outcome in outcomes:
        counts["tried"] += 1
        counts["wrong"] += bool(outcome.wrong)
        counts[f"exit {outcome.ended.code}"] += 1
        if outcome.wrong:
            told.append(f"{outcome.point.call} {outcome.point.number} {outcome.error}: "
                        f"{outcome.wrong}")  # fmt: skip
    return counts, told


def sample(points: Sequence[Point], each: int) -> list[Point]:
    """At most `each` points of every call, spread over the build."""
    chosen: list[Point] = []
    for call in dict.fromkeys(point.call for point in points):
        of_call = [point for point in points if point.call == call]
        step = max(1, len(of_call) // each)
        chosen += of_call[::step][:each]
    return chosen
