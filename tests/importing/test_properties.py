"""Random tables come back cell for cell, and no bytes make an import fail without a name."""

from __future__ import annotations

import csv
import io
import tempfile
import tomllib
from collections import Counter
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from benchlore.errors import BenchloreError
from benchlore.importing import writing
from benchlore.importing.guessing import as_toml, guess_mapping
from benchlore.importing.mapping import mapping_from
from benchlore.importing.table import named_columns
from benchlore.notes.reader import read_note
from benchlore.text import shown
from importing.imports import bring_in, empty_shop

TEXT = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=30)
FRAGMENTS = st.lists(
    st.sampled_from(
        ["Hums", " ", ": ", "#", "- ", '"', "'", ",", ";", "\n", "\r\n", "---", "\t", "{", "[", "]",
         "}", "&a", "*a", "!!x", "|", ">", "0147", "5°", "NA", "=1+1", "\x1b[31m", "\u2028",
         "\ufeff"]
    ),
    max_size=6,
).map("".join)  # fmt: skip
CELLS = st.one_of(TEXT, FRAGMENTS)


class Kept(dict[str, bytes]):
    """Stands in for the disk, which takes 12 ms a note."""

    def save(self, root: Path, folder: str, stem: str, data: bytes) -> str:
        path = f"{folder}/{stem}-{len(self)}.md"
        self[path] = data
        return path


def imported(data: bytes, mapping: str | None) -> tuple[writing.Result, Kept]:
    kept = Kept()
    with tempfile.TemporaryDirectory() as folder:
        shop = empty_shop(Path(folder) / "shop")
        path = Path(folder) / "table.csv"
        path.write_bytes(data)
        before, writing.save_new = writing.save_new, kept.save
        try:
            return bring_in(shop, path, mapping, delimiter="," if mapping else ""), kept
        finally:
            writing.save_new = before


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(CELLS, CELLS, CELLS), min_size=1, max_size=8))
def test_tables_come_back_cell_for_cell(rows: list[tuple[str, str, str]]) -> None:
    """Each row becomes one note with its three cells, outer white space aside; empty rows are
    named."""
    file = io.StringIO(newline="")
    writer = csv.writer(file)
    writer.writerow(["S", "W", "C"])
    writer.writerows(rows)
    mapping = '[note]\nsymptom = "S"\nwhere = "W"\nby = "C"\n'
    result, kept = imported(file.getvalue().encode("utf-8"), mapping)
    wanted = Counter(tuple(cell.strip() for cell in row) for row in rows if "".join(row).strip())
    found: Counter[tuple[str, ...]] = Counter()
    for path, data in kept.items():
        note = read_note(path, data)
        assert note.problems == () and note.front_matter_read
        cells = (
            note.symptom.text if note.symptom and "symptom:" in note.text else "",
            note.where.text if note.where else "",
            note.by.strip(),
        )
        found[cells] += 1
    assert found == wanted
    assert all(left.why == "all its cells are empty" for left in result.left_out)
    assert result.read == result.taken + result.already + len(result.left_out)


@settings(max_examples=150, deadline=None)
@given(st.lists(CELLS, min_size=1, max_size=6))
def test_texts_in_the_body_stay_in_their_sections(cells: list[str]) -> None:
    file = io.StringIO(newline="")
    writer = csv.writer(file)
    writer.writerow(["S", *(f"B{n}" for n in range(len(cells)))])
    writer.writerow(["Hums", *cells])
    mapping = '[note]\nsymptom = "S"\n[body]\n'
    mapping += "".join(f'"B{n}" = "B{n}"\n' for n in range(len(cells)))
    _, kept = imported(file.getvalue().encode("utf-8"), mapping)
    ((path, data),) = kept.items()
    headings = [section.heading for section in read_note(path, data).sections]
    assert headings == [f"B{n}" for n, cell in enumerate(cells) if cell.strip()]


@settings(max_examples=300, deadline=None)
@given(
    st.one_of(
        st.binary(max_size=400),
        st.lists(FRAGMENTS, max_size=40).map(lambda parts: "".join(parts).encode()),
    ),
    st.booleans(),
)
def test_no_bytes_fail_without_a_name(data: bytes, named: bool) -> None:
    try:
        result, kept = imported(b"Symptom,B\n" + data, '[note]\nsymptom = "B"\n' if named else None)
    except BenchloreError as error:
        assert str(error)
        return
    assert result.taken == len(kept)
    for path, note in kept.items():
        assert read_note(path, note).front_matter_read


HEADERS = st.lists(
    st.one_of(CELLS, st.sampled_from(["Job No", "DateIn", "Complaint", "FM", "Remarks", "Cost"])),
    min_size=1,
    max_size=8,
)


@settings(max_examples=200, deadline=None)
@given(HEADERS)
def test_a_printed_guess_reads_as_the_same_mapping(header: list[str]) -> None:
    columns = named_columns(tuple(header))
    guess = guess_mapping(columns)
    guess.check_columns(columns)
    printed = shown(as_toml(guess, columns)).encode()
    assert mapping_from(tomllib.loads(printed.decode())) == guess
