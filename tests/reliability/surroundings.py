"""What figures were read on: versions, machine and date."""

from __future__ import annotations

import platform
import sqlite3
import subprocess
from collections.abc import Iterator
from datetime import UTC, datetime
from importlib.metadata import version

from benchlore import __version__

LIBRARIES = ("faiss-cpu", "hypothesis", "markdown-it-py", "numpy", "onnxruntime", "PyYAML",
             "textual")  # fmt: skip


def lines(seed: int) -> Iterator[str]:
    """Seed, date, versions and system, a line each."""
    yield f"benchlore {__version__}{_commit()}, {datetime.now(UTC):%Y-%m-%d %H:%M} UTC, seed {seed}"
    libraries = ", ".join(f"{name} {version(name)}" for name in LIBRARIES)
    yield f"Python {platform.python_version()}, SQLite {sqlite3.sqlite_version}, {libraries}"
    yield f"{platform.system()} {platform.release()}, {platform.machine()}"


def _commit() -> str:
    done = subprocess.run(
        ["git", "describe", "--always", "--dirty"], capture_output=True, text=True, check=False
    )
    return f" ({done.stdout.strip()})" if done.returncode == 0 else ""
