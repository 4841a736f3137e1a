"""A bar on standard error while something goes on."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from benchlore.index.progress import Progress, Report


@contextmanager
def progress_bar() -> Iterator[Report]:
    """Show a bar on a terminal for as long as the block lasts; it is gone afterwards."""
    # Imported here: rich takes 0.1 s, which a command from a script need not pay.
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
