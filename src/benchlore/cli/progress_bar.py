"""Progress on standard error: a bar on a terminal, plain lines elsewhere."""

from __future__ import annotations

import contextlib
import sys
import time
from collections.abc import Iterator

from benchlore.cli.output import is_plain, warn
from benchlore.index.progress import Progress, Report

PLAIN_EVERY_S = 10.0


@contextlib.contextmanager
def progress_shown() -> Iterator[Report]:
    """Give what a long work tells its progress to; the bar goes away when it is done."""
    if is_plain(sys.stderr):
        yield _plain_report()
        return
    # Imported here: rich takes 0.1 s, which a run from a script need not pay.
    from rich.console import Console
    from rich.progress import BarColumn, TextColumn
    from rich.progress import Progress as Bar

    console = Console(file=sys.stderr)
    columns = (TextColumn("{task.description}", markup=False), BarColumn(bar_width=20))
    with Bar(*columns, console=console, transient=True) as bar:
        task = bar.add_task("", total=None)

        def report(progress: Progress) -> None:
            bar.update(
                task,
                description=progress.in_words(),
                total=progress.total or None,
                completed=progress.done,
            )

        yield report


def _plain_report() -> Report:
    """A line for each stage, and one every ten seconds while it lasts."""
    last = Progress("")
    said_at = 0.0

    def report(progress: Progress) -> None:
        nonlocal last, said_at
        if progress.stage != last.stage or time.monotonic() - said_at >= PLAIN_EVERY_S:
            said_at = time.monotonic()
            warn(progress.in_words())
        last = progress

    return report
