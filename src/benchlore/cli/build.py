"""`benchlore build`: bring the index up to date."""

from __future__ import annotations

import sys
import time

import click

from benchlore.cli.output import is_plain, say, warn
from benchlore.cli.place import Place
from benchlore.errors import DONE, NEEDS_A_LOOK
from benchlore.index.build import BuildResult, build
from benchlore.index.opened import open_index
from benchlore.index.problems import all_problems
from benchlore.index.progress import Progress, Report
from benchlore.shop import Shop

PLAIN_EVERY_S = 10.0


@click.command("build")
@click.option("--accept-empty", is_flag=True, help="The notes were really all removed.")
@click.pass_obj
def build_command(place: Place, accept_empty: bool) -> int:
    """Bring the index up to date with the notes.

    Only new and changed notes are read; nothing in kb and articles is ever changed. It may be
    stopped at any time. Files that need a look are listed, and make the exit code 3.

    \b
    Example:
      benchlore build
    """
    shop = place.shop()
    if is_plain(sys.stderr):
        result = build(shop, _plain_report(), accept_empty)
    else:
        result = _build_with_bar(shop, accept_empty)
    say(_summary(result))
    problems = all_problems(open_index(shop).store)
    for problem in problems:
        warn(problem.in_words())
    if problems:
        warn(f"{len(problems)} things need a look; all other notes can be searched")
    if result.no_model:
        warn(result.no_model)
    if result.warning:
        warn(result.warning)
    return NEEDS_A_LOOK if problems or result.no_model else DONE


def _summary(result: BuildResult) -> str:
    state = f"{result.notes} notes, {result.passages} passages in the index"
    if not result.published:
        return f"{state}; nothing had changed ({result.seconds:.1f} s)"
    return (
        f"{state}; {result.read} read, {result.removed} removed, {result.encoded} passages new "
        f"({result.seconds:.1f} s)"
    )


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


def _build_with_bar(shop: Shop, accept_empty: bool) -> BuildResult:
    # Imported here: rich takes 0.1 s, which a build from a script need not pay.
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

        return build(shop, report, accept_empty)
