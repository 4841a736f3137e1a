"""`benchlore add`: a new case, asked field by field, from a file, or in the user's editor."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click

from benchlore.cli.after_saving import tell_saved
from benchlore.cli.asking import ask_case, ask_proposals, confirm_near
from benchlore.cli.output import say, warn
from benchlore.cli.place import Place
from benchlore.errors import DONE, BenchloreError, NotWritten, UsageError
from benchlore.index.opened import open_index
from benchlore.keeping.drafts import DraftKeeper
from benchlore.keeping.editor import edit_file, editor_command
from benchlore.keeping.saving import why_not_writable
from benchlore.notes.decode import READ_CAP, NotText, decode
from benchlore.notes.edit import NotEditable
from benchlore.notes.parts import Parts, read_parts
from benchlore.shop import Shop
from benchlore.writeup.casefile import FOLDER, next_case, save_case, save_file, template
from benchlore.writeup.editing import edited_bytes, working_copy
from benchlore.writeup.form import Fields, is_blank


@click.command("add")
@click.option("--from", "source", metavar="FILE", help="Take the case from FILE; - reads a pipe.")
@click.option("--editor", is_flag=True, help="Write it in the editor named by VISUAL or EDITOR.")
@click.pass_obj
def add_command(place: Place, source: str | None, editor: bool) -> int:
    """Write up a case.

    Without an option it asks field by field; an empty answer leaves a field out. FILE is a case
    note, or any text: then what the text says of symptom, conditions, codes, values and machine is
    proposed one by one. Nothing that is there is ever overwritten. The search screen has a form
    for the same (F8).

    \b
    Examples:
      benchlore add
      benchlore add --from jobcard.txt
      benchlore add --editor
    """
    if source and editor:
        raise UsageError("--from and --editor do not go together", "choose one")
    shop = place.shop()
    why = why_not_writable(shop.root, FOLDER)
    if why:
        raise NotWritten(f"no case can be saved in {FOLDER}/: {why}", "nothing was asked yet")
    today = datetime.date.today()
    if source:
        path = _from_file(shop, source, today)
    elif editor:
        path = _from_editor(shop, today)
    else:
        path = _from_answers(shop, today)
    if path:
        tell_saved(shop, path)
    return DONE


def _from_file(shop: Shop, source: str, today: datetime.date) -> str:
    data = _read(source)
    try:
        text = decode(data).text
    except NotText as error:
        raise NotText(f"{source}: {error}", "nothing was saved; a note is plain text") from error
    try:
        parts = read_parts(data)
    except NotEditable as error:
        warn(f"{source}: {error}; saved as it is")
        return save_file(shop.root, data)
    if parts.fields or not _on_terminal() or source == "-":
        return save_file(shop.root, data)
    fields = ask_proposals(shop, text, today)
    return _save(shop, {"date": today.isoformat(), **fields}, parts.body)


def _read(source: str) -> bytes:
    try:
        if source == "-":
            data = sys.stdin.buffer.read(READ_CAP + 1)
        else:
            with Path(source).open("rb") as file:
                data = file.read(READ_CAP + 1)
    except OSError as error:
        raise UsageError(f"{source} cannot be read: {error.strerror}") from error
    if len(data) > READ_CAP:
        raise UsageError(
            f"{source} is larger than a note can be ({READ_CAP // 1024} kB)",
            "benchlore import takes a long file apart",
        )
    if not data.strip():
        raise UsageError(f"{source} is empty", "nothing to save")
    return data


def _from_editor(shop: Shop, today: datetime.date) -> str:
    command = editor_command()
    start = template(_next_case(shop, today), today).encode()
    copy = working_copy("new-case.md", start)
    edit_file(command, copy)
    data = edited_bytes(copy)
    if data == start or not data.strip():
        copy.unlink(missing_ok=True)
        say("nothing was written")
        return ""
    try:
        parts: Parts | None = read_parts(data)
    except NotEditable as error:
        warn(f"{error}; saved as typed")
        parts = None
    try:
        if parts is None:
            path = save_file(shop.root, data)
        else:
            path = save_case(shop.root, parts.fields, parts.body)
    except NotWritten as error:
        raise NotWritten(str(error), f"your text is kept in {copy}") from error
    copy.unlink(missing_ok=True)
    return path


def _from_answers(shop: Shop, today: datetime.date) -> str:
    if not _on_terminal():
        raise UsageError("questions need a terminal", "benchlore add --from FILE, or --from -")
    keeper = DraftKeeper(shop.root)
    start: Fields = {"case": _next_case(shop, today), "date": today.isoformat()}
    told = False

    def keep(fields: Fields, body: str) -> None:
        nonlocal told
        try:
            keeper.keep(fields, body, datetime.datetime.now())
        except NotWritten as error:
            if not told:
                warn(f"{error}. {error.todo}")
            told = True

    try:
        fields, body = ask_case(shop, start, keep)
    except (KeyboardInterrupt, click.Abort):
        if keeper.file.exists():
            warn(f"what you typed is kept in {keeper.file}; F8 on the search screen offers it")
        raise
    if is_blank({k: v for k, v in fields.items() if k not in start}, body):
        keeper.drop()
        say("nothing was written")
        return ""
    path = _save(shop, fields, body, keeper)
    if path:
        keeper.drop()
    elif keeper.file.exists():
        warn(f"what you typed is kept in {keeper.file}; F8 on the search screen offers it")
    return path


def _save(shop: Shop, fields: Fields, body: str, keeper: DraftKeeper | None = None) -> str:
    if not confirm_near(shop, fields, body):
        say("nothing was written")
        return ""
    try:
        return save_case(shop.root, fields, body)
    except NotWritten as error:
        if keeper is None or not keeper.file.exists():
            raise
        raise NotWritten(str(error), f"your text is kept in {keeper.file}") from error


def _next_case(shop: Shop, today: datetime.date) -> str:
    try:
        notes = open_index(shop).store.all_notes()
        return next_case((stored.note.case for stored in notes), today)
    except BenchloreError:
        return ""


def _on_terminal() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty()
