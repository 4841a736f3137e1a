"""Runs a build in a process of its own and tells the program how far it is.

The first build loads torch, which holds Python's lock for seconds at a time: in the program's own
process keys would hang. And a process can be stopped at any moment, which leaves the index whole.
"""

from __future__ import annotations

import contextlib
import json
import os
import sys
from collections.abc import Mapping
from dataclasses import asdict
from typing import IO

from benchlore.errors import BenchloreError
from benchlore.index.build import build
from benchlore.index.progress import Progress
from benchlore.shop import find_shop


def main(root: str, index: str) -> None:
    """Build the index of the shop at `root` into `index`; one JSON object a line on stdout."""
    with contextlib.suppress(OSError, AttributeError):
        os.nice(5)  # the search on the screen comes first
    out = _private_output()

    def send(kind: str, fields: Mapping[str, object]) -> None:
        out.write(json.dumps({"kind": kind, **fields}) + "\n")

    def report(progress: Progress) -> None:
        send("progress", asdict(progress))

    try:
        result = build(find_shop(root, index), report)
    except BenchloreError as error:
        send("error", {"error": type(error).__name__, "what": str(error), "todo": error.todo})
    else:
        send("done", {"published": result.published, "warning": result.warning})


def _private_output() -> IO[str]:
    """Standard output for `main` alone: onnxruntime and others print there, too."""
    out = os.fdopen(os.dup(1), "w", encoding="ascii", buffering=1)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)
    return out


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2])
