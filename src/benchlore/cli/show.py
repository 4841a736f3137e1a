"""`benchlore show`: one note, its cautions first."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from benchlore.cli.as_json import note_to_json
from benchlore.cli.output import hanging, say, say_json, warn
from benchlore.cli.place import Place
from benchlore.errors import DONE, NEEDS_A_LOOK, ShopError, UsageError
from benchlore.evidence.cautions import cautions_of
from benchlore.index.files import NOTE_ENDINGS, read_content, reason
from benchlore.index.opened import open_index
from benchlore.notes import Note, read_note, split_lines
from benchlore.shop import NOTE_FOLDERS, Shop

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
    path = _as_path(shop, note) or _path_of_case(shop, note)
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


def _as_path(shop: Shop, named: str) -> str | None:
    """The path below the shop that `named` is, seen from here or from the shop folder."""
    if not named.lower().endswith(NOTE_ENDINGS):
        return None
    for start in (Path.cwd(), shop.root):
        full = os.path.realpath(os.path.join(start, named))
        if os.path.lexists(full):
            relative = os.path.relpath(full, shop.root).replace(os.sep, "/")
            if relative.split("/")[0] not in NOTE_FOLDERS:
                raise UsageError(f"{named} leads outside the shop folder: not opened")
            return relative
    raise UsageError(f"there is no note {named}", "benchlore find finds it by its symptom")


def _path_of_case(shop: Shop, case: str) -> str:
    store = open_index(shop).store
    notes = store.notes_by_case(case) or store.notes_by_case_ending(case)
    paths = sorted(stored.note.path for stored in notes)
    if not paths:
        raise UsageError(f"there is no case {case}", "benchlore find finds it by its symptom")
    if len(paths) > 1:
        raise UsageError(
            f"{len(paths)} notes have case {case}: " + ", ".join(paths), "name the file"
        )
    return paths[0]
