"""Imports run upon a shop in a temporary folder."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from benchlore.importing.planning import Wanted, is_table, open_table, table_notes, text_notes
from benchlore.importing.writing import Result, Run, run_import
from benchlore.notes.model import Note
from benchlore.notes.reader import read_note
from shops import no_report


def empty_shop(root: Path) -> Path:
    (root / "kb").mkdir(parents=True)
    (root / "articles").mkdir()
    return root


def bring_in(
    shop: Path,
    path: Path,
    mapping: str | None = None,
    stop: Callable[[], bool] = lambda: False,
    trial: bool = False,
    **options: str | bool,
) -> Result:
    """Import `path` with a mapping given as TOML."""
    file = None
    if mapping is not None:
        file = path.parent / "mapping.toml"
        file.write_text(mapping, encoding="utf-8")
    wanted = Wanted(path=path, mapping=file, **options)  # type: ignore[arg-type]
    source = table_notes(open_table(wanted)) if is_table(wanted) else text_notes(wanted, shop)
    return run_import(source, Run(shop, "kb/imported", no_report, stop, trial))


def bring_in_text(
    shop: Path, text: str | bytes, mapping: str | None = None, name: str = "orders.csv", **more: str
) -> Result:
    """Import a file that holds `text`."""
    path = shop.parent / name
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return bring_in(shop, path, mapping, **more)


def notes_of(shop: Path) -> list[Note]:
    """The notes in kb, by path."""
    files = sorted((shop / "kb").rglob("*.md"))
    return [read_note(file.relative_to(shop).as_posix(), file.read_bytes()) for file in files]


def only(shop: Path) -> Note:
    (note,) = notes_of(shop)
    return note


def reasons(result: Result) -> list[tuple[str, str]]:
    return [(left.place, left.why) for left in result.left_out]
