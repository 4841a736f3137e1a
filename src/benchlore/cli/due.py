"""`benchlore due`: cases whose outcome is open or unconfirmed, and how they ended."""

from __future__ import annotations

import datetime

import click

from benchlore.cli.after_saving import take_in
from benchlore.cli.as_json import due_to_json
from benchlore.cli.naming import path_of
from benchlore.cli.output import say, say_json
from benchlore.cli.place import Place
from benchlore.errors import DONE, UsageError
from benchlore.index.opened import open_index
from benchlore.shop import Shop
from benchlore.writeup.due import due_cases
from benchlore.writeup.outcome_line import in_words
from benchlore.writeup.recording import outcome_change, record


@click.command("due")
@click.argument("note", required=False)
@click.argument("outcome", required=False)
@click.option("--dry-run", is_flag=True, help="Say what would be written, and write nothing.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.pass_obj
def due_command(
    place: Place, note: str | None, outcome: str | None, dry_run: bool, as_json: bool
) -> int:
    """List the cases that are due for another look, or record how one ended.

    A case is due while its outcome is open, and once a repair is older than follow_up_days in
    shop.toml (30) and nobody has said whether it held. With a NOTE (case number or file) and an
    OUTCOME in a few words, that is written into the note; nothing else in it changes.

    \b
    Examples:
      benchlore due
      benchlore due 2025-0147 "fixed, 4100 km"
      benchlore due 0147 "came back after 3 weeks"
    """
    shop = place.shop()
    today = datetime.date.today()
    if note is None:
        return _list(shop, today, as_json)
    if outcome is None:
        raise UsageError("say how it ended", f'benchlore due {note} "fixed, 4100 km"')
    change = outcome_change(shop.root, path_of(shop, note), outcome, today)
    if dry_run:
        say(f"{change.path}: would say: {in_words(change.outcome)}")
        return DONE
    record(shop.root, change)
    say(f"{change.path}: {in_words(change.outcome)}")
    take_in(shop)
    return DONE


def _list(shop: Shop, today: datetime.date, as_json: bool) -> int:
    due = due_cases(open_index(shop).store, shop.settings, today)
    if as_json:
        say_json({"due": [due_to_json(each) for each in due]})
        return DONE
    for each in due:
        symptom = each.note.symptom.text if each.note.symptom else each.note.title
        say(f"{each.note.case}  {each.words}: {symptom}", "")
        say(f"    {each.note.path}", "dim")
    say(f"{len(due)} cases are due" if len(due) != 1 else "1 case is due")
    return DONE
