"""`benchlore init`: start a shop folder."""

from __future__ import annotations

import datetime

import click

from benchlore.cli.output import say
from benchlore.errors import DONE
from benchlore.shop import init_shop


@click.command("init")
@click.argument("path")
def init_command(path: str) -> int:
    """Start a shop folder at PATH: kb, articles, shop.toml and a first note to fill in.

    What is there already is left as it is.

    \b
    Example:
      benchlore init ~/workshop
    """
    made = init_shop(path, datetime.date.today().isoformat())
    for each in made:
        say(f"made {each}")
    if not made:
        say(f"{path} is a shop folder already: nothing was changed")
    say(f"next: write notes below {path}/kb, then benchlore --shop {path} build")
    return DONE
