"""Runs a command, then prints its time and peak memory as JSON.

A process of its own, and a small one: on Linux a child's peak memory begins with what its parent
held when it was started, so a parent with torch loaded would be measured instead.
"""

from __future__ import annotations

import json
import os
import sys
import time


def main(output: str, command: list[str]) -> None:
    """Run `command` with its standard output and error in the file `output`."""
    started = time.perf_counter()
    child = os.posix_spawn(
        command[0],
        command,
        os.environ,
        file_actions=[
            (os.POSIX_SPAWN_OPEN, 1, output, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600),
            (os.POSIX_SPAWN_DUP2, 1, 2),
        ],
    )
    _, status, usage = os.wait4(child, 0)
    seconds = time.perf_counter() - started
    unit = 1 if sys.platform == "darwin" else 1024
    code = os.waitstatus_to_exitcode(status)
    print(json.dumps({"seconds": seconds, "peak": usage.ru_maxrss * unit, "code": code}))


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2:])
