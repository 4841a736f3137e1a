"""`benchlore find`: the nearest past cases for a symptom."""

from __future__ import annotations

import click

from benchlore.cli.place import Place
from benchlore.cli.systems import complete_system
from benchlore.errors import UsageError
from benchlore.index.opened import open_index

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
@click.option("--evidence", is_flag=True, help="Print all that the past cases add up to.")
@click.option(
    "--found", multiple=True, metavar="CHECK: RESULT",
    help='A result so far, "check: result"; may be given again. Causes and next check follow it.',
)  # fmt: skip
@click.option("--apart", multiple=True, metavar="CAUSE",
              help="Show this cause as it is written, not put together.")  # fmt: skip
@click.option("--brief", is_flag=True, help="Print one page for the job card, in Markdown.")
@click.option("--html", is_flag=True, help="The brief as HTML.")
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
    evidence: bool,
    found: tuple[str, ...],
    apart: tuple[str, ...],
    brief: bool,
    html: bool,
) -> int:
    """Find the closest past cases for a SYMPTOM, with findings, causes and outcome.

    With --json and - as the symptom, reads one symptom a line from standard input and prints one
    JSON object a line.

    \b
    Examples:
      benchlore find "hums from 50, louder in left-handers, gone when coasting"
      benchlore find P0301 --since 2023
      benchlore find "hums from 50" --evidence --found "hub spun by hand: rough"
      benchlore find "hums from 50" --brief --html > brief.html
      benchlore find --json - < symptoms.txt
    """
    text = " ".join(symptom)
    from_stdin = as_json and text == "-"
    if not from_stdin and not text.strip():
        raise UsageError("type a symptom", 'for example: benchlore find "hums above 50 km/h"')
    if as_json and (brief or html):
        raise UsageError("--brief and --json exclude each other", "leave one of them out")
    since_day = _since(since)
    index = open_index(place.shop(), ahead=True)
    # Imported here, side by side with the loading of the encoder.
    from benchlore.cli.answering import Shape, Wanted, answer
    from benchlore.index.stored import Filters
    from benchlore.search.results import Question

    filters = Filters(system=system, make=make, engine=engine, since=since_day)
    shape: Shape = "json" if as_json else "html" if html else "brief" if brief else "text"
    wanted = Wanted(shape, from_stdin, evidence or bool(found or apart), found, apart)
    return answer(index, Question(text, limit=limit, filters=filters), wanted)


def _since(text: str) -> str:
    from benchlore.search.since import HOW, since_date

    date = since_date(text)
    if date is None:
        raise UsageError(f"--since {text} is not a date", HOW)
    return date
