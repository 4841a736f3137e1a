"""`benchlore find`: the nearest past cases for a symptom."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import click

from benchlore.cli.as_json import answer_to_json
from benchlore.cli.output import hanging, say, say_json, warn
from benchlore.cli.place import Place
from benchlore.cli.systems import complete_system
from benchlore.errors import DONE, NOTHING_CLOSE, UsageError
from benchlore.evidence.cautions import UNREAD, standing_line, usual_cautions
from benchlore.evidence.wording import causes_line, finding_line, machine_line, outcome_line
from benchlore.index.changes import changed_since
from benchlore.index.opened import open_index
from benchlore.index.store import Filters
from benchlore.search.engine import Engine
from benchlore.search.results import Answer, Hit, Question
from benchlore.search.since import HOW, since_date
from benchlore.text import shown_line

MOST_CASES = 1000


@click.command("find")
@click.argument("symptom", nargs=-1)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object (see the README).")
@click.option(
    "-n", "limit", type=click.IntRange(1, MOST_CASES), default=10, show_default=True,
    help="How many cases.",
)  # fmt: skip
@click.option("--system", default="", help="Only this system: wheels, brakes, cooling, ...",
              shell_complete=complete_system)  # fmt: skip
@click.option("--make", default="", help="Only machines of this maker.")
@click.option("--engine", default="", help="Only this engine, by its code.")
@click.option(
    "--since", default="", metavar="DATE", help="Only cases since 2023, 2023-06 or 2023-06-30."
)
@click.pass_obj
def find_command(
    place: Place,
    symptom: tuple[str, ...],
    as_json: bool,
    limit: int,
    system: str,
    make: str,
    engine: str,
    since: str,
) -> int:
    """Find the closest past cases for a SYMPTOM, with findings, causes and outcome.

    With --json and - as the symptom, reads one symptom a line from standard input and prints one
    JSON object a line.

    \b
    Examples:
      benchlore find "hums from 50, louder in left-handers, gone when coasting"
      benchlore find P0301 --since 2023
      benchlore find --json - < symptoms.txt
    """
    filters = Filters(system=system, make=make, engine=engine, since=_since(since))
    text = " ".join(symptom)
    from_stdin = as_json and text == "-"
    if not from_stdin and not text.strip():
        raise UsageError("type a symptom", 'for example: benchlore find "hums above 50 km/h"')
    shop = place.shop()
    index = open_index(shop)
    engine_ = Engine(index)
    if from_stdin:
        code = _answer_lines(engine_, limit, filters)
    else:
        answer = engine_.find(Question(text, limit=limit, filters=filters))
        if as_json:
            say_json(answer_to_json(answer, shop.root))
        else:
            _print(answer, shop.root)
        code = DONE if answer.cases or answer.articles else NOTHING_CLOSE
    changes = changed_since(shop, index.store)
    if changes:
        warn(f"{changes}: benchlore build")
    if index.words_only:
        warn(index.words_only)
    return code


def _answer_lines(engine: Engine, limit: int, filters: Filters) -> int:
    code = NOTHING_CLOSE
    for line in sys.stdin.buffer:
        text = line.decode("utf-8", "replace").strip()
        try:
            answer = engine.find(Question(text, limit=limit, filters=filters))
        except UsageError as error:
            say_json({"query": text, "error": str(error), "cases": [], "articles": []})
            continue
        say_json(answer_to_json(answer, engine.index.shop.root))
        sys.stdout.flush()  # a program at the other end of the pipe waits for it
        if answer.cases or answer.articles:
            code = DONE
    return code


def _since(text: str) -> str:
    date = since_date(text)
    if date is None:
        raise UsageError(f"--since {text} is not a date", HOW)
    return date


def _print(answer: Answer, root: Path) -> None:
    if not answer.cases and not answer.articles:
        say("nothing close in the notes")
        return
    systems = dict.fromkeys(hit.note.system for hit in answer.cases)
    say("Before you start:", "bold")
    for line in (*usual_cautions(systems), standing_line()):
        say(hanging("-", line, label_width=2))
    for rank, hit in enumerate(answer.cases, start=1):
        say()
        _print_case(rank, hit, root)
    if answer.articles:
        say()
        say("Articles", "bold")
        for hit in answer.articles:
            say(hanging("", f"{shown_line(hit.note.title)}  {_source(root, hit)}", label_width=0))


def _print_case(rank: int, hit: Hit, root: Path) -> None:
    note = hit.note
    symptom = note.symptom.text if note.symptom else note.title
    say(hanging(f"{rank}.", shown_line(symptom) or "(no symptom)", indent=0, label_width=3), "bold")
    about = ", ".join(filter(None, (machine_line(note.machine), note.date, f"case {note.case}")))
    say(hanging("", shown_line(about), label_width=0))
    say(f"   Source:  {shown_line(_source(root, hit))}")  # never wrapped: it is copied from here
    if hit.unread:
        say(hanging("", f"not read again: {hit.unread}"))
    if note.cautions_unread:
        say(hanging("Caution:", UNREAD))
    for caution in note.cautions:
        say(hanging("Caution:", shown_line(caution.text)))
    for place, check in enumerate(note.checks):
        say(hanging("" if place else "Found:", shown_line(finding_line(check))))
    say(hanging("Cause:", shown_line(causes_line(note))))
    say(hanging("Outcome:", shown_line(outcome_line(note.outcome))))


def _source(root: Path, hit: Hit) -> str:
    """`kb/2023/note.md:6-10`, or that the file is gone."""
    path = hit.note.path
    if not os.path.lexists(os.path.join(root, path)):
        return f"{path} (gone since the index was built)"
    if not hit.passages:
        return path
    best = hit.passages[0]
    return f"{path}:{best.first_line}-{best.last_line}"
