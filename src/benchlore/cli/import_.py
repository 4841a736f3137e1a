"""`benchlore import`: notes out of an export, a folder of text files or one long text file."""

from __future__ import annotations

import contextlib
import signal
from collections.abc import Callable, Iterator
from pathlib import Path

import click

from benchlore.cli.output import say, warn
from benchlore.cli.place import Place
from benchlore.cli.progress_bar import progress_shown
from benchlore.errors import DONE, INTERRUPTED, NEEDS_A_LOOK
from benchlore.importing.dates import ORDERS
from benchlore.importing.incoming import LeftOut, Source
from benchlore.importing.locking import one_import
from benchlore.importing.planning import (
    GuessedTable,
    Wanted,
    is_table,
    open_table,
    table_notes,
    text_notes,
)
from benchlore.importing.reporting import sums, write_report
from benchlore.importing.writing import DEFAULT_FOLDER, Result, Run, checked_folder, run_import

LISTED = 20
"""Lines of what was left out that are shown; a report file holds all."""


@click.command("import")
@click.argument("path", metavar="FILE|FOLDER")
@click.option("--mapping", metavar="FILE", help="TOML file: which column becomes which field.")
@click.option("--print-mapping", is_flag=True, help="Print the mapping as TOML to start from.")
@click.option("--dry-run", is_flag=True, help="Write nothing; show the first notes.")
@click.option("--show", "shown", metavar="N", type=click.IntRange(0), default=3, show_default=True,
              help="Notes that --dry-run shows.")  # fmt: skip
@click.option("--into", metavar="FOLDER", default=DEFAULT_FOLDER, show_default=True,
              help="Folder of the shop that they go into, below kb.")  # fmt: skip
@click.option(
    "--report", metavar="FILE", help="Also write what was not taken, and why, to a new file."
)
@click.option("--split", metavar="TEXT", default="",
              help="What parts a text file's notes: a rule, or how each begins.")  # fmt: skip
@click.option("--as", "kind", type=click.Choice(["table", "text"]), help="What the file is.")
@click.option("--date-order", type=click.Choice(list(ORDERS)), help="Order of numbers in dates.")
@click.option("--delimiter", metavar="SIGN", default="",
              help="comma, semicolon, tab, bar or a sign; else told from the file.")  # fmt: skip
@click.option("--encoding", metavar="NAME", default="", help="Else UTF-8, UTF-16 or cp1252.")
@click.option("--no-quotes", is_flag=True, help='In the table " is a sign like any other.')
@click.pass_obj
def import_command(
    place: Place,
    path: str,
    mapping: str | None,
    print_mapping: bool,
    dry_run: bool,
    shown: int,
    into: str,
    report: str | None,
    split: str,
    kind: str | None,
    date_order: str | None,
    delimiter: str,
    encoding: str,
    no_quotes: bool,
) -> int:
    """Make case notes of a CSV export, a folder of .md and .txt files, or one long text file.

    Of an export each row becomes a note. A mapping says which column goes where; without one it is
    guessed from the header and shown. A text file is cut at its rules (--- on a line of its own).

    Nothing that exists is overwritten. Each note keeps where it came from, so that the same import
    may be stopped and run again at any time: what is in the shop already is not written again.

    \b
    Examples:
      benchlore import orders.csv --dry-run
      benchlore import orders.csv --print-mapping > orders.toml
      benchlore import orders.csv --mapping orders.toml --report left-out.txt
      benchlore import old-notes/
      benchlore import notebook.txt --split "Job "

    \b
    A mapping (all of it optional; a field is given a column, several or a text):
      date_order = "day-month-year"
      empty = ["NA", "-"]                 cells that say nothing
      key = ["Order no"]                  what tells rows apart
      leave_out = ["Internal"]
      [note]
      case = "Order no"
      symptom = ["Short text", "Long text"]
      machine.make = {text = "Halden"}
      checks = [{check = {text = "oil pressure"}, value = {column = "Oil", unit = "bar"}}]
      outcome.result = {column = "Done", values = {Y = "fixed"}}
      [body]
      "What we did" = "Action"
    """
    wanted = Wanted(
        path=Path(path),
        kind=kind or "",
        mapping=Path(mapping) if mapping else None,
        split=split,
        delimiter=delimiter,
        encoding=encoding,
        date_order=date_order or "",
        quotes=not no_quotes,
    )
    table = open_table(wanted) if is_table(wanted) else None
    if print_mapping:
        if table is None:
            raise click.UsageError("--print-mapping belongs to a table")
        say(table.as_toml().rstrip("\n"))
        return DONE
    shop = place.shop()
    folder = checked_folder(into)
    if table is not None:
        _tell_mapping(table)
        source = table_notes(table)
    else:
        source = text_notes(wanted, shop.root)
    for line in source.told:
        warn(f"{source.name}: {line}")
    with one_import(shop.root), progress_shown() as progress, _stopping() as stop:
        run = Run(shop.root, folder, progress, stop, trial=dry_run, previews=shown)
        result = run_import(source, run)
    file = write_report(Path(report), source, result) if report else None
    return _tell(source, result, dry_run, file)


def _tell_mapping(table: GuessedTable) -> None:
    if table.guessed:
        warn(f"{table.table.name}: no mapping given; guessed from the header:")
        warn(table.as_toml())


@contextlib.contextmanager
def _stopping() -> Iterator[Callable[[], bool]]:
    """Ctrl-C is noted, and acted on between two notes; a second one acts at once."""
    pressed = False

    def note_it(number: int, frame: object) -> None:
        nonlocal pressed
        if pressed:
            raise KeyboardInterrupt
        pressed = True

    before = signal.signal(signal.SIGINT, note_it)
    try:
        yield lambda: pressed
    finally:
        signal.signal(signal.SIGINT, before)


def _tell(source: Source, result: Result, trial: bool, report: Path | None) -> int:
    for preview in result.previews:
        say(f"would write {preview.path}:", "bold")
        say(preview.text)
    words = "would be taken" if trial else "taken"
    say(f"{sums(source, result, words)} ({result.seconds:.1f} s)")
    if report is not None:
        say(f"report: {report}")
    _list("not taken", result.left_out, report)
    _list("needs a look", result.remarks, report)
    if result.failed is not None:
        again = "what was taken stays; the same command goes on from there"
        raise type(result.failed)(str(result.failed), f"{_cure(result)}{again}")
    if result.stopped:
        warn("stopped; what was taken stays, and the same command goes on from there")
        return INTERRUPTED
    if result.taken and not trial:
        say("next: benchlore build makes them findable")
    return NEEDS_A_LOOK if result.left_out or result.remarks else DONE


def _cure(result: Result) -> str:
    todo = result.failed.todo if result.failed else ""
    return f"{todo}; " if todo else "put that right; "


def _list(heading: str, lines: list[LeftOut], report: Path | None) -> None:
    for line in lines[:LISTED]:
        warn(f"{heading}: {line.place}: {line.why}")
    if len(lines) > LISTED:
        more = f"all of them are in {report}" if report else "--report FILE names all"
        warn(f"{heading}: {len(lines) - LISTED} more; {more}")
