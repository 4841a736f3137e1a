"""`benchlore read`: what the program understands of a sentence."""

from __future__ import annotations

import click

from benchlore.cli.as_json import readings_to_json
from benchlore.cli.output import hanging, say, say_json
from benchlore.cli.place import Place
from benchlore.errors import DONE, UsageError
from benchlore.language import read_conditions
from benchlore.language.vocabulary import of_shop
from benchlore.language.wording import in_words
from benchlore.text import shown_line


@click.command("read")
@click.argument("sentence", nargs=-1)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.pass_obj
def read_command(place: Place, sentence: tuple[str, ...], as_json: bool) -> int:
    """Say under which conditions a SENTENCE says that a symptom shows, and under which not.

    A shop folder is not needed; where there is one, its own words are read as well.

    \b
    Example:
      benchlore read "rattles cold, clears when warm"
    """
    text = " ".join(sentence)
    if not text.strip():
        raise UsageError("type a sentence", 'for example: benchlore read "only when hot"')
    shop = place.shop_if_any()
    readings = read_conditions(text, of_shop(shop.settings.vocabulary if shop else {}))
    if as_json:
        say_json({"text": text, "reading": readings_to_json(readings)})
    elif not readings:
        say("no condition read")
    else:
        say(in_words(readings))
        for reading in readings:
            sign = "shows" if reading.polarity == "present" else "not"
            grade = f" ({reading.grade})" if reading.grade else ""
            said = f"{reading.axis} {reading.value}{grade}, from: {shown_line(reading.text)}"
            say(hanging(sign, said, indent=2, label_width=7))
    return DONE
