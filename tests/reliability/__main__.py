"""Reliability figures from one command: `python -m tests.reliability [--seed N] [--quick]`.

Without options it does what is done before a release and takes up to three hours; `--quick` takes a
few minutes. It prints seed, versions and date, and a table of what was tried and what went wrong;
the exit code is 1 when anything did. What strace or atheris is needed for is said to be left out
where they are missing.

Not shown by it: power loss (a killed process leaves the page cache whole), disks that lie about
syncing, systems other than the one it runs on. Control bytes on a terminal are counted by the tests
of row D1.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

sys.path.append(str(Path(__file__).resolve().parents[1]))  # as pytest has it

from tests.reliability import parts, surroundings
from tests.reliability.parts import Figure, Sizes

QUICK = Sizes(
    random_kills=500, refused_first=3, lasting=(False,), build_points=1, build_errors=("ENOSPC",),
    note_files=20_000, atheris_runs=0, sentences=5_000, round_trips=1_500, harmed_indexes=300,
    harmed_models=12, rounds=5, searches=50, notes=400,
)  # fmt: skip
RELEASE = Sizes(
    random_kills=10_000, refused_first=None, lasting=(False, True), build_points=None,
    build_errors=("ENOSPC", "EIO", "EACCES", "EROFS", "EDQUOT"),
    note_files=1_000_000, atheris_runs=10_000_000, sentences=200_000, round_trips=100_000,
    harmed_indexes=3_000, harmed_models=300, rounds=200, searches=2_000, notes=10_000,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Options:
    """What was asked for on the command line."""

    sizes: Sizes
    seed: int
    only: str


def main() -> int:
    options = _options()
    for line in surroundings.lines(options.seed):
        print(line, flush=True)
    print("\n| what | tried | wrong | seen | minutes |\n|---|---:|---:|---|---:|", flush=True)
    wrong = 0
    with tempfile.TemporaryDirectory(prefix="benchlore-reliability-") as folder:
        for name, part in parts.PARTS.items():
            if options.only in name:
                place = Path(folder) / name.replace(" ", "-")
                place.mkdir()
                wrong += _run(part, place, options)
    print(f"\n{wrong or 'nothing'} went wrong")
    return 1 if wrong else 0


def _run(
    part: Callable[[Path, Sizes, int], Iterable[Figure]], place: Path, options: Options
) -> int:
    wrong, started = 0, time.monotonic()
    for figure in part(place, options.sizes, options.seed):
        minutes = (time.monotonic() - started) / 60
        tried = "left out" if figure.tried is None else f"{figure.tried:,}"
        print(
            f"| {figure.what} | {tried} | {figure.wrong} | {figure.seen} | {minutes:.1f} |",
            flush=True,
        )
        for line in figure.told:
            print(f"  {line}", file=sys.stderr)
        wrong += figure.wrong
        started = time.monotonic()
    return wrong


def _options() -> Options:
    parser = argparse.ArgumentParser(
        prog="python -m tests.reliability", description=__doc__.split("\n")[0]
    )
    parser.add_argument("--seed", type=int, default=20250514)
    parser.add_argument("--quick", action="store_true", help="the sizes of each submission")
    parser.add_argument("--only", default="", metavar="PART", help=", ".join(parts.PARTS))
    given = parser.parse_args()
    return Options(QUICK if given.quick else RELEASE, given.seed, given.only)


if __name__ == "__main__":
    sys.exit(main())
