"""What every benchmark uses: runs of processes, medians, and the rows of the table."""

from __future__ import annotations

import importlib.metadata
import json
import os
import platform
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

REPOSITORY = Path(__file__).resolve().parents[2]
LAUNCH = Path(__file__).with_name("launch.py")
RUNS = 20
PACKAGES = ("faiss-cpu", "numpy", "onnxruntime", "sentence-transformers", "textual", "torch")
NEEDS_A_LOOK = 3
"""The exit code of a build that names notes to look at, which a demo shop may have."""

QUESTIONS = (
    "hums from 50, louder in left-handers, gone when coasting",
    "knocks over small bumps at the front",
    "cranks but will not start when hot",
    "battery flat after a weekend",
    "misfire at idle, P0301",
    "water in the passenger footwell after rain",
    "brake pedal pulses from motorway speed",
    "blue smoke on the overrun",
    "clutch judders pulling away in reverse",
    "temperature climbs in traffic, fine on the open road",
)


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table; `peer` is what was measured beside it, if anything."""

    what: str
    budget: str
    measured: str
    peer: str = ""


@dataclass(frozen=True, slots=True)
class Ran:
    """A process that ran: its time in seconds, its peak memory in bytes, and what it printed."""

    seconds: float
    peak: int
    output: str


class Failed(Exception):
    """A measured process did not do its job."""


def run(*arguments: str) -> Ran:
    """Run Python with `arguments` as a process of its own, from exec to exit."""
    with tempfile.TemporaryDirectory() as folder:
        output = os.path.join(folder, "output")
        measured = subprocess.run(
            [sys.executable, str(LAUNCH), output, sys.executable, *arguments],
            env=installed(),
            capture_output=True,
            encoding="utf-8",
            cwd=REPOSITORY,
            check=True,
        )
        table = json.loads(measured.stdout)
        text = Path(output).read_text(encoding="utf-8", errors="replace")
    if table["code"] not in (0, NEEDS_A_LOOK):
        raise Failed(f"{' '.join(arguments)} ended with {table['code']}:\n{text[-2000:]}")
    return Ran(table["seconds"], table["peak"], text)


def installed() -> dict[str, str]:
    """The environment for a measured process: an installed program is compiled, so must this be.

    Compiling its modules at each start takes 0.15 s; the first run, which is not counted, does it.
    """
    return {key: text for key, text in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}


def timed(action: Callable[[], object]) -> float:
    """Seconds that `action` takes."""
    started = time.perf_counter()
    action()
    return time.perf_counter() - started


def median(values: Iterable[float]) -> float:
    return statistics.median(values)


def percentile_95(values: Sequence[float]) -> float:
    return statistics.quantiles(values, n=20)[-1]


def seconds(value: float) -> str:
    return f"{value:.2f} s" if value < 100 else f"{value:.0f} s"


def milliseconds(value: float) -> str:
    return f"{value * 1000:.1f} ms"


def megabytes(value: float) -> str:
    return f"{value / 1e6:.0f} MB"


def as_markdown(rows: Iterable[Row]) -> str:
    """The table, one row a line."""
    lines = ["| what | budget | measured | peer |", "|---|---|---|---|"]
    lines += [f"| {row.what} | {row.budget} | {row.measured} | {row.peer} |" for row in rows]
    return "\n".join(lines)


def surroundings() -> str:
    """Machine, versions and date: what a figure means nothing without."""
    versions = ", ".join(f"{name} {importlib.metadata.version(name)}" for name in PACKAGES)
    return (
        f"{_processor()}, {os.cpu_count()} cores, {_memory_gib():.0f} GiB, {platform.system()} "
        f"{platform.release()}; Python {platform.python_version()}; {versions}; "
        f"{time.strftime('%Y-%m-%d')}"
    )


def load() -> str:
    """The machine's load over the last 1, 5 and 15 minutes."""
    return "/".join(f"{value:.1f}" for value in os.getloadavg())


def _memory_gib() -> float:
    return os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30


def _processor() -> str:
    try:
        lines = Path("/proc/cpuinfo").read_text(encoding="utf-8").splitlines()
    except OSError:
        return platform.processor() or platform.machine()
    names = [line.partition(":")[2].strip() for line in lines if line.startswith("model name")]
    return names[0] if names else platform.machine()
