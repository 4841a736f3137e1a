"""A case in the user's own editor, from inside the program."""

from __future__ import annotations

from typing import Any

from textual.app import App

from benchlore.errors import BenchloreError
from benchlore.keeping.editor import edit_file, editor_command
from benchlore.notes.compose import compose
from benchlore.notes.parts import read_parts
from benchlore.tui.display import say
from benchlore.writeup.editing import working_copy
from benchlore.writeup.form import Fields


def edit_text(app: App[Any], fields: Fields, body: str) -> tuple[Fields, str] | None:
    """Let the user edit the case as a file; None if it was not changed or cannot be taken back.

    The terminal is the editor's meanwhile. What cannot be read again stays in the copy, whose
    place is told.
    """
    data = compose(fields, body)
    place = ""
    try:
        command = editor_command()
        copy = working_copy("case.md", data)
        place = f" What you typed there is kept in {copy}"
        with app.suspend():
            edit_file(command, copy)
        edited = copy.read_bytes()
        if edited == data:
            copy.unlink(missing_ok=True)
            return None
        parts = read_parts(edited)
    except BenchloreError as error:
        say(app, f"{error}. {error.todo}.{place}", "warning")
        return None
    except OSError as error:
        say(app, f"the copy cannot be read: {error.strerror}.{place}", "warning")
        return None
    copy.unlink(missing_ok=True)
    return parts.fields, parts.body
