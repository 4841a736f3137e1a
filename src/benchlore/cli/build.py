"""`benchlore build`: bring the index up to date."""

from __future__ import annotations

import click

from benchlore.cli.output import say, warn
from benchlore.cli.place import Place
from benchlore.cli.progress_bar import progress_shown
from benchlore.errors import DONE, NEEDS_A_LOOK
from benchlore.index.build import BuildResult, build
from benchlore.index.opened import open_index
from benchlore.index.problems import all_problems


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
    with progress_shown() as report:
        result = build(shop, report, accept_empty)
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
    needs_a_look = problems or result.no_model or shop.settings.problems
    return NEEDS_A_LOOK if needs_a_look else DONE


def _summary(result: BuildResult) -> str:
    state = f"{result.notes} notes, {result.passages} passages in the index"
    if not result.published:
        return f"{state}; nothing had changed ({result.seconds:.1f} s)"
    return (
        f"{state}; {result.read} read, {result.removed} removed, {result.encoded} passages new "
        f"({result.seconds:.1f} s)"
    )
