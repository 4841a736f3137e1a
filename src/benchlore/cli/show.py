"""`benchlore show`: one note, its cautions first."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from benchlore.cli.as_json import note_to_json
from benchlore.cli.naming import path_of
from benchlore.cli.output import hanging, say, say_json, warn
from benchlore.cli.place import Place
from benchlore.errors import DONE, NEEDS_A_LOOK, ShopError
from benchlore.evidence.cautions import cautions_of
from benchlore.index.files import read_content, reason
from benchlore.notes import Note, read_note, split_lines
from benchlore.shop import Shop

if TYPE_CHECKING:
    from benchlore.keeping.attachments import Attachment


@click.command("show")
@click.argument("note")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
@click.pass_obj
def show_command(place: Place, note: str, as_json: bool) -> int:
    """Show a NOTE, named by its case number or its file, as it is on disk now.

    \b
    Examples:
      benchlore show 2023-0365
      benchlore show kb/2023/2023-0365-front-hum-loud-right-handers.md
      benchlore show 0365
    """
    shop = place.shop()
    path = path_of(shop, note)
    try:
        content = read_content(shop.root, path)
    except FileNotFoundError:
        raise ShopError(f"{path} is gone since the index was built", "benchlore build") from None
    except OSError as error:
        raise ShopError(f"{path}: {reason(error)}") from error
    read = read_note(path, content.data, content.size)
    files = _files(shop, read)
    if as_json:
        say_json(note_to_json(read))
    else:
        _print(read, files)
    for problem in read.problems:
        warn(f"{path}:{problem.line}:{problem.column}: {problem.what}; {problem.todo}".rstrip("; "))
    astray = any(file.needs_a_look for file in files)
    return NEEDS_A_LOOK if read.problems or astray else DONE


def _files(shop: Shop, note: Note) -> tuple[Attachment, ...]:
    """The photos and other files that the note lists."""
    if not note.files:
        return ()
    # Imported here: few notes list any.
    from benchlore.keeping.attachments import attachments_of

    return attachments_of(shop.root, note.path, (said.text for said in note.files))


def _print(note: Note, files: Sequence[Attachment]) -> None:
    say(note.path, "bold")
    say("Before you start:", "bold")
    for line in cautions_of(note).lines():
        say(hanging("-", line, label_width=2))
    if files:
        say("Files:", "bold")
    for file in files:
        say(hanging("-", f"{file.written}: {file.says}", label_width=2))
    say()
    lines = split_lines(note.text)
    digits = len(str(len(lines)))
    for number, line in enumerate(lines, start=1):
        say(f"{number:>{digits}}  {line.rstrip(chr(10) + chr(13))}")
