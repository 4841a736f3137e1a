"""Faults of the surroundings: small and read-only disks, powers dropped; skips name the row."""

from __future__ import annotations

import contextlib
import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

WITHOUT_POWER = [
    "setpriv",
    "--bounding-set=-dac_override,-dac_read_search",
    "--inh-caps=-dac_override,-dac_read_search",
]
"""Root reads and writes every file; without these two powers it does not."""


def needs_strace(row: str) -> pytest.MarkDecorator:
    """Skip a test of `row` where no process can be traced."""
    from tests.reliability.injecting import can_trace

    return pytest.mark.skipif(not can_trace(), reason=f"{row}: strace is missing or may not trace")


@contextlib.contextmanager
def disk(row: str, place: Path, options: str) -> Iterator[None]:
    """A disk of its own at `place`, in memory, as long as the block runs: `size=64k,nr_inodes=8`.

    Skips the test where nothing may be mounted.
    """
    place.mkdir(parents=True, exist_ok=True)
    done = _run("mount", "-t", "tmpfs", "-o", options, "tmpfs", str(place))
    if done:
        pytest.skip(f"{row}: no disk can be mounted here")
    try:
        yield
    finally:
        unmount(place)


def read_only(row: str, place: Path) -> None:
    """Make the disk at `place` read-only, and see that it is."""
    if _run("mount", "-o", "remount,ro", str(place)):
        pytest.skip(f"{row}: no disk can be made read-only here")
    with pytest.raises(OSError, match="Read-only"):
        (place / "probe").write_bytes(b"")


def unmount(place: Path) -> None:
    """Take the disk at `place` away, whoever still uses it. Nothing happens where there is none."""
    if os.path.ismount(place):
        _run("umount", "--lazy", str(place))


def fill(place: Path) -> None:
    """Fill the disk at `place` to its last byte, and see that it is full."""
    with contextlib.suppress(OSError), (place / "filling").open("wb", buffering=0) as file:
        while True:
            file.write(bytes(1024))
    with pytest.raises(OSError, match="No space"):
        (place / "probe").write_bytes(bytes(4096))
    (place / "probe").unlink(missing_ok=True)


def _run(*command: str) -> int:
    if not shutil.which(command[0]):
        return 1
    return subprocess.run(command, capture_output=True, check=False).returncode
