"""What a user names becomes a source of notes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from benchlore.errors import UsageError
from benchlore.importing.folder import folder_source, one_file
from benchlore.importing.guessing import as_toml, guess_mapping
from benchlore.importing.incoming import Incoming, LeftOut, Source, SourceError
from benchlore.importing.mapping import ColumnMap, MappingError, read_mapping
from benchlore.importing.opening import TextSource
from benchlore.importing.splitting import named_cut, text_source, told_cut
from benchlore.importing.table import Table
from benchlore.importing.tables import table_source, with_order
from benchlore.notes.decode import READ_CAP, NotText, decode
from benchlore.notes.frontmatter import read_front_matter
from benchlore.notes.lines import LineIndex

TABLE_ENDINGS = (".csv", ".tsv", ".tab")
TEXT_ENDINGS = (".txt", ".md")


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the user asks for; empty where nothing was said.

    Attributes:
        path: the file or folder.
        kind: `table` or `text`, where a file's ending does not tell.
        mapping: the mapping file.
        split: see `splitting.named_cut`.
    """

    path: Path
    kind: str = ""
    mapping: Path | None = None
    split: str = ""
    delimiter: str = ""
    encoding: str = ""
    date_order: str = ""
    quotes: bool = True


@dataclass(frozen=True, slots=True)
class GuessedTable:
    """A table with the mapping that it is read by; `guessed` where nobody gave one."""

    table: Table
    mapping: ColumnMap
    guessed: bool

    def as_toml(self) -> str:
        """The mapping as a file to start from."""
        return as_toml(self.mapping, self.table.columns)


def is_table(wanted: Wanted) -> bool:
    """Whether a table is to be read.

    Raises:
        SourceError: there is nothing at the path.
        UsageError: it cannot be told, or options of a text and of a table are mixed.
    """
    if not wanted.path.exists():
        raise SourceError(f"{wanted.path} is not there", "name a file or folder")
    ending = wanted.path.suffix.lower()
    kind = wanted.kind
    if wanted.path.is_dir():
        kind = "folder"
    elif not kind:
        if ending in TABLE_ENDINGS or wanted.mapping:
            kind = "table"
        elif ending in TEXT_ENDINGS or wanted.split:
            kind = "text"
        else:
            raise UsageError(
                f"{wanted.path.name}: is it a table or a text?", "say --as table or --as text"
            )
    of_table = wanted.mapping or wanted.delimiter or wanted.date_order or not wanted.quotes
    if kind != "table" and of_table:
        raise UsageError("a mapping, a delimiter, quotes and an order of dates belong to a table")
    if kind != "text" and wanted.split:
        raise UsageError("--split belongs to one text file of several notes")
    if kind == "folder" and wanted.encoding:
        raise UsageError("--encoding belongs to one file")
    return kind == "table"


def open_table(wanted: Wanted) -> GuessedTable:
    """Read the header, and the mapping or guess one.

    Raises:
        SourceError, UsageError: see `Table`, `read_mapping`.
        MappingError: nothing in the header tells what the symptom is.
    """
    table = Table(wanted.path, wanted.delimiter, wanted.encoding, wanted.quotes)
    if wanted.mapping:
        given = with_order(read_mapping(wanted.mapping), wanted.date_order)
        given.check_columns(table.columns)
        return GuessedTable(table, given, guessed=False)
    return GuessedTable(
        table, with_order(guess_mapping(table.columns), wanted.date_order), guessed=True
    )


def table_notes(opened: GuessedTable) -> Source:
    """The rows as notes; see `tables.table_source`.

    Raises:
        MappingError: also where a guess found no symptom.
    """
    if opened.guessed and "symptom" not in opened.mapping.single and not opened.mapping.body:
        raise MappingError(
            f"no column of {opened.table.name} looks like the symptom: "
            f"{', '.join(opened.table.columns)}",
            "write a mapping and give it with --mapping; --print-mapping makes one to start from",
        )
    return table_source(opened.table, opened.mapping)


def text_notes(wanted: Wanted, shop_root: Path) -> Source:
    """A folder of text files, or the notes in one.

    Raises:
        SourceError, UsageError: see `folder_source`, `TextSource`, `told_cut`.
    """
    if wanted.path.is_dir():
        return folder_source(wanted.path, shop_root)
    source = TextSource(wanted.path, wanted.encoding)
    if not wanted.split and _is_a_note(wanted.path):
        return Source(wanted.path.name, "notes", 1, lambda: _only(wanted.path), ("one note",))
    cut = named_cut(wanted.split) if wanted.split else told_cut(source, wanted.path.name)
    return text_source(source, wanted.path.name, cut)


def _only(path: Path) -> Iterator[Incoming | LeftOut]:
    yield one_file(path)


def _is_a_note(path: Path) -> bool:
    """Whether the file starts with front matter: then its rules are its own."""
    try:
        with path.open("rb") as file:
            text = decode(file.read(READ_CAP)).text
    except (OSError, NotText):
        return False
    return bool(read_front_matter(text, LineIndex(text)).entries)
