"""What a command does once a note is saved: it is taken into the index, and what it lacks said."""

from __future__ import annotations

import datetime

from benchlore.checking.note_checks import look_at
from benchlore.cli.output import say, warn
from benchlore.errors import BenchloreError, Busy, IndexMissing
from benchlore.index.build import build
from benchlore.index.files import read_content
from benchlore.index.manifest import read_manifest
from benchlore.index.progress import Progress
from benchlore.language.vocabulary import of_shop
from benchlore.notes import Note, read_note
from benchlore.shop import Shop
from benchlore.writeup.quality import in_one_line, quality

WIDTH = 200


def tell_saved(shop: Shop, path: str) -> None:
    """Say where the note lies and what would make it more useful; make it findable."""
    say(f"saved: {path}")
    note = _read(shop, path)
    vocabulary = of_shop(shop.settings.vocabulary)
    for problem in look_at(note, datetime.date.today(), vocabulary):
        warn(f"{path}:{problem.line}:{problem.column}: {problem.what}; {problem.todo}".rstrip("; "))
    missing = quality(note, datetime.date.today(), vocabulary)
    if missing:
        say(f"not complete: {in_one_line(missing, WIDTH)}")
    take_in(shop)


def _read(shop: Shop, path: str) -> Note:
    content = read_content(shop.root, path)
    return read_note(path, content.data, content.size)


def take_in(shop: Shop) -> None:
    """Bring an index that is there up to date. The note is safe whatever becomes of it."""
    try:
        read_manifest(shop.index, shop.root)
        build(shop, _quiet)
    except IndexMissing:
        warn("no index yet; benchlore build makes it, then the note is found")
    except Busy:
        warn("another benchlore is writing the index; the next build takes the note in")
    except BenchloreError as error:
        warn(f"the note is saved, but not in the index yet: {error}. {error.todo}")
    else:
        say("it is found from now on")


def _quiet(progress: Progress) -> None:
    """A build of one note is over before anything could be said."""
