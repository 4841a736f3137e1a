"""Tables against RFC 4180 and against pandas' reading of real work orders."""

from __future__ import annotations

import io
from collections import Counter
from pathlib import Path

import pytest

import opendata
from benchlore.importing import writing
from benchlore.importing.incoming import LeftOut
from benchlore.importing.table import Row, Table
from benchlore.notes.reader import read_note
from importing.imports import bring_in, bring_in_text, empty_shop, notes_of

pandas = pytest.importorskip("pandas")

MAPPING = """
empty = ["NA"]
leave_out = ["Rule"]
[note]
date = "BscStartDate"
symptom = "OriginalShorttext"
system = "MajorSystem"
where = "Location"
machine.model = "Asset"
causes = [{part = "Part", fault = "FM"}]
routes = [{route = "Action", parts_cost = "Cost"}]
"""


def table_of(tmp_path: Path, data: bytes) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
    path = tmp_path / "table.csv"
    path.write_bytes(data)
    table = Table(path)
    rows = list(table.rows())
    assert not [row for row in rows if isinstance(row, LeftOut)]
    return table.columns, [row.cells for row in rows if isinstance(row, Row)]


@pytest.mark.parametrize(
    "data",
    [
        # The examples of RFC 4180, section 2, rules 1 to 6, below a header of rule 3.
        pytest.param("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", id="rule 1: a line each"),
        pytest.param("aaa,bbb,ccc\r\nzzz,yyy,xxx", id="rule 2: no last line end"),
        pytest.param('"aaa","bbb","ccc"\r\nzzz,yyy,xxx', id="rule 5: quotes or none"),
    ],
)
def test_rfc_4180_records(tmp_path: Path, data: str) -> None:
    header = "field_name,field_name_2,field_name_3\r\n"
    columns, rows = table_of(tmp_path, (header + data).encode())
    assert columns == ("field_name", "field_name_2", "field_name_3")  # rule 3: the header
    assert rows == [("aaa", "bbb", "ccc"), ("zzz", "yyy", "xxx")]


def test_rfc_4180_rule_4_blanks_are_part_of_a_field_and_all_lines_have_as_many(
    tmp_path: Path,
) -> None:
    assert table_of(tmp_path, b"a,b,c\r\n aaa,bbb , ccc \r\n")[1] == [(" aaa", "bbb ", " ccc ")]
    path = tmp_path / "short.csv"
    path.write_bytes(b"a,b,c\r\naaa,bbb\r\naaa,bbb,ccc,\r\n")
    assert all(isinstance(row, LeftOut) for row in Table(path).rows())


def test_rfc_4180_rule_6_line_breaks_quotes_and_commas_in_quotes(tmp_path: Path) -> None:
    data = b'x,y,z\r\n"aaa","b\r\nbb","ccc"\r\nzzz,"y,y",xxx'
    assert table_of(tmp_path, data)[1] == [("aaa", "b\r\nbb", "ccc"), ("zzz", "y,y", "xxx")]


def test_rfc_4180_rule_7_a_quote_is_doubled(tmp_path: Path) -> None:
    assert table_of(tmp_path, b'x,y,z\r\n"aaa","b""bb","ccc"\r\n')[1] == [("aaa", 'b"bb', "ccc")]


def test_a_byte_order_mark_is_no_part_of_the_first_name(tmp_path: Path) -> None:
    """UTF-8 with a mark, as spreadsheets write it (Unicode standard, section 23.8, from memory)."""
    assert table_of(tmp_path, b"\xef\xbb\xbfx,y\r\n1,2\r\n") == (("x", "y"), [("1", "2")])


def test_semicolons_with_a_decimal_comma_are_as_pandas_reads_them(tmp_path: Path) -> None:
    data = 'Nr;Wert;Text\r\n1;0,14;"a;b"\r\n2;1.250,50;Öl\r\n'.encode("utf-8-sig")
    frame = pandas.read_csv(io.BytesIO(data), sep=";", dtype=str, encoding="utf-8-sig")
    columns, rows = table_of(tmp_path, data)
    assert list(columns) == list(frame.columns)
    assert rows == list(frame.itertuples(index=False, name=None))


def test_all_excavator_work_orders_are_in_a_note_or_in_the_report(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """nist-nestor's 5,485 work orders: texts and costs in the notes equal to pandas' reading.

    The notes are kept in memory: on disk each takes 12 ms.
    """
    data = opendata.needed(opendata.WORK_ORDERS)
    frame = pandas.read_csv(io.BytesIO(data), dtype=str, keep_default_na=False)
    kept: list[bytes] = []
    monkeypatch.setattr(writing, "save_new", lambda *arguments: kept.append(arguments[3]))
    shop = empty_shop(tmp_path / "shop")
    path = tmp_path / "excavators.csv"
    path.write_bytes(data)
    result = bring_in(shop, path, MAPPING)
    assert result.taken + len(result.left_out) == result.read == len(frame) == 5485
    assert result.taken == len(kept) == 5485  # not one is broken
    assert result.remarks == []

    found: Counter[tuple[str, ...]] = Counter()
    for text in kept:
        note = read_note("kb/x.md", text)
        assert note.problems == () and note.symptom is not None
        cost = note.routes[0].parts_cost if note.routes else ""
        found[note.symptom.text, cost, note.date, note.machine.model, note.system] += 1
    columns = ["OriginalShorttext", "Cost", "BscStartDate", "Asset", "MajorSystem"]
    wanted = Counter(
        tuple("" if cell == "NA" else cell.strip() for cell in row)
        for row in frame[columns].itertuples(index=False, name=None)
    )
    assert found == wanted


def test_the_first_400_work_orders_twice_are_400_notes(tmp_path: Path) -> None:
    lines = opendata.needed(opendata.WORK_ORDERS).splitlines(keepends=True)[:401]
    shop = empty_shop(tmp_path / "shop")
    assert bring_in_text(shop, b"".join(lines), MAPPING).taken == 400
    again = bring_in_text(shop, b"".join(lines), MAPPING)
    assert (again.taken, again.already, len(notes_of(shop))) == (0, 400, 400)
