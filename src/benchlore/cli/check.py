"""`benchlore check`: what in the notes needs a look."""

from __future__ import annotations

import datetime
import sys
from collections.abc import Sequence
from contextlib import nullcontext
from pathlib import Path
from typing import Any

import click

from benchlore.checking.chosen import Chosen, chosen
from benchlore.checking.mending import Left, Mended, mend
from benchlore.checking.model import Finding
from benchlore.checking.shop_checks import Checked, check_shop
from benchlore.cli.output import is_plain, say, say_json, warn
from benchlore.cli.place import Place
from benchlore.cli.progress_bar import progress_shown
from benchlore.errors import DONE, NOT_WRITTEN, SOMETHING_FOUND, UsageError
from benchlore.index.progress import Progress
from benchlore.notes.problems import file_count
from benchlore.shop import Shop


@click.command("check")
@click.argument("paths", nargs=-1, metavar="[PATH]...")
@click.option("--fix", is_flag=True, help="Mend what can be mended safely; each is named.")
@click.option("--dry-run", is_flag=True, help="With --fix: say what would be mended.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.pass_obj
def check_command(
    place: Place, paths: tuple[str, ...], fix: bool, dry_run: bool, as_json: bool
) -> int:
    """Name everything in the notes that needs a look, with its file, line and column.

    With PATHs, notes or folders, only what is wrong there is named; case numbers and links are
    compared with the whole shop all the same. No index is needed. The exit code is 1 where
    something was found.

    \b
    Examples:
      benchlore check
      benchlore check kb/2025
      benchlore check --fix --dry-run
    """
    if dry_run and not fix:
        raise UsageError("--dry-run says what --fix would do", "benchlore check --fix --dry-run")
    shop = place.shop()
    only = chosen(shop, Path.cwd(), paths)
    today = datetime.date.today()
    checked = _check(shop, today, only)
    mended = Mended()
    if fix:
        mended = mend(shop, checked.findings, checked.copied, dry_run)
        if mended.done and not dry_run:
            checked = _check(shop, today, only)  # columns have moved
    if as_json:
        say_json(_to_json(checked, mended, dry_run))
    else:
        _print(checked, mended, dry_run)
    if mended.unwritten:
        return NOT_WRITTEN
    return SOMETHING_FOUND if checked.findings else DONE


def _check(shop: Shop, today: datetime.date, only: Chosen) -> Checked:
    with nullcontext(_silent) if is_plain(sys.stderr) else progress_shown() as report:
        return check_shop(shop, today, report, only)


def _silent(progress: Progress) -> None:
    """A check that nobody watches."""


def _print(checked: Checked, mended: Mended, dry_run: bool) -> None:
    for finding in mended.done:
        say(f"{'would mend' if dry_run else 'mended'} {finding.place}: {_change(finding)}")
    for finding in checked.findings:
        say(finding.in_words())
    for left in (*mended.left, *mended.unwritten):
        warn(f"not mended {left.finding.place}: {left.why}")
    say(_summary(checked, mended, dry_run))


def _change(finding: Finding) -> str:
    """What a mend does; personal data is not repeated."""
    assert finding.mend is not None
    if finding.kind == "personal":
        return f"{finding.what}, now {finding.mend.new}"
    return f"'{finding.mend.old}' is now '{finding.mend.new}'"


def _summary(checked: Checked, mended: Mended, dry_run: bool) -> str:
    notes = _counted(checked.notes, "note")
    if not checked.findings:
        return f"{notes} looked at: nothing found"
    things, files = len(checked.findings), file_count(checked.findings)
    need = "needs" if things == 1 else "need"
    found = (
        f"{notes} looked at: {_counted(things, 'thing')} in {_counted(files, 'file')} {need} a look"
    )
    safe = sum(finding.mend is not None for finding in checked.findings)
    if safe and not (mended.done or mended.left or mended.unwritten):
        return f"{found}; {safe} can be mended: benchlore check --fix"
    if dry_run:
        return f"{found}; {len(mended.done)} would be mended"
    return found


def _counted(count: int, thing: str) -> str:
    return f"{count} {thing}{'' if count == 1 else 's'}"


def _to_json(checked: Checked, mended: Mended, dry_run: bool) -> dict[str, Any]:
    return {
        "notes": checked.notes,
        "findings": [_finding_to_json(finding) for finding in checked.findings],
        "dry_run": dry_run,
        "mended": [
            {**_finding_to_json(finding), "new": finding.mend.new if finding.mend else ""}
            for finding in mended.done
        ],
        "left": _left_to_json((*mended.left, *mended.unwritten)),
    }


def _finding_to_json(finding: Finding) -> dict[str, Any]:
    return {
        "file": finding.path,
        "line": finding.line,
        "column": finding.column,
        "kind": finding.kind,
        "what": finding.what,
        "todo": finding.todo,
        "mendable": finding.mend is not None,
    }


def _left_to_json(left: Sequence[Left]) -> list[dict[str, Any]]:
    return [{**_finding_to_json(each.finding), "why": each.why} for each in left]
