"""`benchlore edit`: a note in the user's editor, or one field of it set."""

from __future__ import annotations

from pathlib import Path

import click

from benchlore.cli.after_saving import tell_saved
from benchlore.cli.naming import path_of
from benchlore.cli.output import say
from benchlore.cli.place import Place
from benchlore.errors import DONE, UsageError
from benchlore.writeup.attaching import attach_files
from benchlore.writeup.editing import edit_in_editor, set_one_field


@click.command("edit")
@click.argument("note")
@click.option(
    "--set",
    "settings",
    metavar="FIELD=TEXT",
    multiple=True,
    help="Set one field, as in --set by=KM or --set outcome.after='4100 km'. May be repeated.",
)
@click.option(
    "--attach", "files", metavar="FILE", multiple=True, help="Copy FILE beside the note, list it."
)
@click.pass_obj
def edit_command(place: Place, note: str, settings: tuple[str, ...], files: tuple[str, ...]) -> int:
    """Change a NOTE, named by its case number or its file.

    It opens a copy in the editor named by VISUAL or EDITOR. The note itself is replaced when the
    editor is left, unless somebody else has changed it meanwhile: then both are kept.

    \b
    Examples:
      benchlore edit 2025-0147
      benchlore edit 2025-0147 --set "present=cold, above 50 km/h"
      benchlore edit 2025-0147 --attach /media/stick/hub.jpg
    """
    shop = place.shop()
    path = path_of(shop, note)
    changed = False
    if settings:
        changed = set_one_field(shop.root, path, [_split(each) for each in settings])
    if files:
        changed = (
            attach_files(shop.root, path, [Path(each).absolute() for each in files]) or changed
        )
    if not settings and not files:
        changed = edit_in_editor(shop.root, path)
    if not changed:
        say("nothing changed")
        return DONE
    tell_saved(shop, path)
    return DONE


def _split(setting: str) -> tuple[str, str]:
    field, mark, text = setting.partition("=")
    if not mark or not field.strip():
        raise UsageError(f"--set {setting}: write FIELD=TEXT", "as in --set by=KM")
    return field.strip(), text
