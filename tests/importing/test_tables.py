"""Tables: what a row becomes, and which rows are left out and why."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchlore.errors import UsageError
from benchlore.importing.incoming import SourceError
from benchlore.importing.mapping import MappingError
from importing.imports import bring_in, bring_in_text, notes_of, only, reasons

WHOLE = """
date_order = "day-month-year"
separator = "/"
empty = ["NA", "-"]
leave_out = ["Internal"]
[note]
case = "No"
date = "In"
by = "Fitter"
symptom = ["Short", "Long"]
system = {text = "engine"}
present = "When"
absent = "Not when"
codes = "DTC"
machine.make = {text = "Halden"}
machine.odometer = {column = "Clock", unit = "km"}
checks = [
  {check = {text = "oil pressure"}, value = {column = "Oil", unit = "bar"}, limit = "Limit"},
  {check = {text = "compression"}, found = "Compression"},
]
causes = {part = "Part", fault = "Fault", certainty = {text = "proved"}}
routes = [{route = "Action", parts_cost = "Cost", chosen = {text = "yes"}}]
outcome.result = {column = "Done", values = {Y = "fixed", N = "not fixed"}}
[body]
"What we did" = ["Action", "Remarks"]
"""
HEADER = (
    "No,In,Fitter,Short,Long,When,Not when,DTC,Clock,Oil,Limit,Compression,Part,Fault,Action,Cost,"
    "Done,Remarks,Internal,Bay\n"
)
ROW = (
    '0147,14/05/2025 00:00,KM,Rattles,at the front,cold/wet road,"hot","P0301,P0302",142300,0.8,'
    '>= 1.0 bar,NA,chain,stretched,new chain,"1.250,50",Y,"Line 1\nLine 2",secret,3\n'
)


def test_a_mapping_fills_every_kind_of_field(shop: Path) -> None:
    result = bring_in_text(shop, HEADER + ROW, WHOLE)
    note = only(shop)
    assert (result.taken, result.left_out, result.remarks) == (1, [], [])
    assert note.problems == ()
    assert note.path == "kb/imported/2025/0147-rattles-at-the-front.md"
    assert (note.case, note.date, note.by, note.system) == ("0147", "2025-05-14", "KM", "engine")
    assert note.symptom is not None and note.symptom.text == "Rattles at the front"
    assert [said.text for said in note.present] == ["cold", "wet road"]
    assert [said.text for said in note.absent] == ["hot"]
    assert [said.text for said in note.codes] == ["P0301", "P0302"]
    assert (note.machine.make, note.machine.odometer) == ("Halden", "142300 km")
    (check,) = note.checks  # the compression was not measured: NA
    assert (check.check, check.value, check.limit) == ("oil pressure", "0.8 bar", ">= 1.0 bar")
    (cause,) = note.causes
    assert (cause.part, cause.fault, cause.certainty) == ("chain", "stretched", "proved")
    (route,) = note.routes
    assert (route.route, route.parts_cost, route.chosen) == ("new chain", "1.250,50", "yes")
    assert note.outcome is not None and note.outcome.result == "fixed"
    (section,) = note.sections
    assert section.heading == "What we did"
    assert [block.text for block in section.blocks] == ["new chain", "Line 1 Line 2"]
    assert "secret" not in note.text


def test_columns_that_no_field_takes_are_kept(shop: Path) -> None:
    long = "a very long story " * 20
    table = f'Symptom,Bay,Story,date,,Bay\nHums,3,"{long}",soon,x,4\n'
    bring_in_text(shop, table, '[note]\nsymptom = "Symptom"\n')
    note = only(shop)
    kept = next(said.text for said in note.extra if said.text.startswith("columns"))
    for part in ("Bay: 3", "date: soon", "column 5: x", "Bay 2: 4"):
        assert part in kept
    assert note.date == ""
    assert [section.heading for section in note.sections] == ["Story"]
    assert long.strip() in note.text


def test_a_cell_whose_word_is_replaced_is_kept_as_it_stood(shop: Path) -> None:
    mapping = '[note]\nsymptom = "S"\noutcome.result = {column = "R", values = {"1" = "fixed"}}\n'
    bring_in_text(shop, "S,R\nHums,1\n", mapping)
    note = only(shop)
    assert note.outcome is not None and note.outcome.result == "fixed"
    assert any("R: 1" in said.text for said in note.extra)


def test_rows_that_are_not_sound_are_named_and_the_others_taken(shop: Path) -> None:
    table = (
        'S,T\nHums,1\nonly one\n1,2,3\n,\n\nnul\0,x\n"a"b",x\nSqueals,2\n"never closed,x\nlost,3\n'
    )
    result = bring_in_text(shop, table, '[note]\nsymptom = "S"\n')
    assert result.read == 8 and result.taken == 2
    assert reasons(result) == [
        ("line 3", "1 cells where the header names 2"),
        ("line 4", "3 cells where the header names 2"),
        ("line 5", "all its cells are empty"),
        ("line 7", "holds a NUL byte: the file is damaged here"),
        ("line 8", 'a quote inside a quoted cell is not doubled ("" stands for one)'),
        ("line 10", "a quote that opens here is never closed; lines 10 to 11 belong to it"),
    ]


def test_a_cell_too_long_for_the_reader_is_named_and_reading_goes_on(shop: Path) -> None:
    table = "S,T\nHums,1\n" + '"' + "x" * 140_000 + '",2\nSqueals,3\n'
    result = bring_in_text(shop, table, '[note]\nsymptom = "S"\n')
    assert (result.taken, len(result.left_out)) == (2, 1)
    assert "longer than 131,072 characters" in result.left_out[0].why


def test_one_endless_line_ends_the_import_and_not_the_memory(shop: Path) -> None:
    with pytest.raises(SourceError, match=r"orders.csv:3: a line of over 1 MB"):
        bring_in_text(shop, "S,T\nHums,1\n" + "x" * 3_000_000, '[note]\nsymptom = "S"\n')
    assert notes_of(shop) == []


@pytest.mark.parametrize(
    ("cell", "order", "date"),
    [
        ("2025-05-14", "", "2025-05-14"),
        ("2025/5/4 07:15", "", "2025-05-04"),
        ("20250514", "", "2025-05-14"),
        ("14 May 2025", "", "2025-05-14"),
        ("May 14, 2025", "", "2025-05-14"),
        ("14-May-25", "", "2025-05-14"),
        ("03/04/2025", "day-month-year", "2025-04-03"),
        ("03/04/2025", "month-day-year", "2025-03-04"),
        ("3.4.69", "day-month-year", "1969-04-03"),
        ("25-04-03", "year-month-day", "2025-04-03"),
    ],
)
def test_dates_are_read(shop: Path, cell: str, order: str, date: str) -> None:
    mapping = '[note]\nsymptom = "S"\ndate = "D"\n'
    bring_in_text(shop, f'S,D\nHums,"{cell}"\n', mapping, date_order=order)
    assert only(shop).date == date


def test_which_number_is_the_day_is_asked_for_before_anything_is_written(shop: Path) -> None:
    table = "S,D\nHums,2025-01-02\nHums,03/04/2025\nHums,25/04/2025\n"
    with pytest.raises(MappingError) as told:
        bring_in_text(shop, table, '[note]\nsymptom = "S"\ndate = "D"\n')
    assert "line 3: '03/04/2025'" in str(told.value)
    assert "Of 2 such dates can be read: 2 as day-month-year, 1 as month-day-year" in str(
        told.value
    )
    assert notes_of(shop) == []


def test_what_is_no_date_is_kept_as_typed_and_named(shop: Path) -> None:
    mapping = 'date_order = "day-month-year"\n[note]\nsymptom = "S"\ndate = "D"\n'
    result = bring_in_text(shop, "S,D\nHums,31.02.2025\n", mapping)
    assert [(each.place, each.why) for each in result.remarks] == [
        ("line 2", "'31.02.2025' is not a date; kept as typed")
    ]
    assert only(shop).date == "31.02.2025"


def test_a_time_of_day_is_not_lost(shop: Path) -> None:
    bring_in_text(shop, "S,D\nHums,2025-05-14 07:15\n", '[note]\nsymptom = "S"\ndate = "D"\n')
    assert any("2025-05-14 07:15" in said.text for said in only(shop).extra)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-32", "cp1252"])
def test_encodings(shop: Path, encoding: str) -> None:
    text = "Symptom;Wert\nQuietscht ab 50°, Größe 5µ;0,14 mm\n"
    result = bring_in_text(shop, text.encode(encoding), '[note]\nsymptom = "Symptom"\n')
    note = only(shop)
    assert result.left_out == []
    assert note.symptom is not None and note.symptom.text == "Quietscht ab 50°, Größe 5µ"
    assert "0,14 mm" in note.text


def test_a_named_encoding(shop: Path) -> None:
    data = "Symptom,X\nPiszczy łożysko,1\n".encode("iso8859-2")
    bring_in_text(shop, data, '[note]\nsymptom = "Symptom"\n', encoding="latin2")
    assert "Piszczy łożysko" in only(shop).text
    with pytest.raises(UsageError, match="no encoding is called 'klingon'"):
        bring_in_text(shop, data, encoding="klingon")
    bring_in_text(
        shop, "\ufeffSymptom,X\nHums,1\n", '[note]\nsymptom = "Symptom"\n', encoding="utf-8"
    )
    assert len(notes_of(shop)) == 2
    for wrong in ("utf-8", "ascii"):
        with pytest.raises(SourceError, match=f"is not {wrong} after line 0"):
            bring_in_text(shop, data, encoding=wrong)


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_the_delimiter_is_told_from_outside_the_quotes(shop: Path, delimiter: str) -> None:
    cells = [["Symptom", "Note"], ['"a, b; c\t| d"', "1"], ['"x; y, z"', "2"]]
    table = "".join(delimiter.join(row) + "\n" for row in cells)
    bring_in_text(shop, table, '[note]\nsymptom = "Symptom"\n')
    symptoms = {note.symptom.text for note in notes_of(shop) if note.symptom}
    assert symptoms == {"a, b; c\t| d", "x; y, z"}


def test_a_first_line_that_states_the_delimiter(shop: Path) -> None:
    result = bring_in_text(shop, "sep=;\nSymptom;a,b\nHums, loud;1,5\nbad\n")
    assert reasons(result) == [("line 4", "1 cells where the header names 2")]
    assert "1,5" in only(shop).text


def test_a_delimiter_that_cannot_be_told_is_asked_for(shop: Path) -> None:
    with pytest.raises(UsageError, match="cannot be told"):
        bring_in_text(shop, "a,b;c\n1,2;3\n")
    bring_in_text(shop, "Symptom,b;c\n1,2;3\n", delimiter="semicolon", mapping='[body]\nX = "c"\n')
    assert len(notes_of(shop)) == 1


def test_inch_signs_are_taken_where_quotes_are_none(shop: Path) -> None:
    table = 'Symptom\tSize\nHose leaks\t"1/2"" hose\nHums\t3"\n'
    path = shop.parent / "orders.tsv"
    path.write_text(table)
    result = bring_in(shop, path, quotes=False)
    assert result.taken == 2 and result.left_out == []
    assert any('"1/2"" hose' in note.text for note in notes_of(shop))


@pytest.mark.parametrize(
    ("mapping", "what"),
    [
        ('[note]\nsymptom = "Nowhere"\n', "the table has no column 'Nowhere'"),
        ('[note]\ncolour = "S"\n', "note.colour is unknown"),
        ('[note]\ncauses = {"size" = "S"}\n', "note.causes.size is unknown"),
        ('[notes]\nsymptom = "S"\n', "notes is unknown"),
        ("[note]\nsymptom = 3\n", "note.symptom must be a list of texts"),
        ('[note]\nsymptom = {column = "S", text = "x"}\n', "either a column or a text"),
        ('date_order = "either"\n', "date_order 'either' is unknown"),
        ("[note\n", "mapping.toml: "),
        ('key = ["No"]\n[note]\nsymptom = "S"\n', "the table has no column 'No'"),
    ],
)
def test_a_mapping_without_a_meaning_is_named(shop: Path, mapping: str, what: str) -> None:
    with pytest.raises(MappingError, match="^" + what.replace(".", r"\.") + "|" + what):
        bring_in_text(shop, "S,T\nHums,1\n", mapping)


def test_a_workbook_is_no_table(shop: Path) -> None:
    with pytest.raises(SourceError, match="is not text"):
        bring_in_text(shop, b"PK\x03\x04" + bytes(range(256)) * 20, '[note]\nsymptom = "S"\n')


def test_a_row_too_large_for_a_note_is_left_out(shop: Path) -> None:
    row = ",".join("x" * 100_000 for _ in range(3))
    result = bring_in_text(shop, f"S,a,b,c\nHums,{row}\nHums,1,2,3\n", '[note]\nsymptom = "S"\n')
    assert result.taken == 1 and "larger than 256 kB" in result.left_out[0].why
    result = bring_in_text(shop, "S,a\n" + "x" * 30_000 + ",1\n", '[note]\nsymptom = "S"\n')
    assert result.taken == 0 and "too long for these fields" in result.left_out[0].why


def test_hundreds_of_columns_stay_readable(shop: Path) -> None:
    columns = [f"column {chr(65 + n % 26)} {n}: [x]" for n in range(3000)]
    table = "S," + ",".join(columns) + "\nHums," + ",".join(f"{n}#" for n in range(3000)) + "\n"
    bring_in_text(shop, table, '[note]\nsymptom = "S"\n')
    note = only(shop)
    assert note.front_matter_read and note.problems == ()
    assert all(f"{n}#" in note.text for n in range(3000))


def test_a_guess_reads_common_headers(shop: Path) -> None:
    table = (
        "Job No,DateIn,Technician,Customer Complaint,MAKE,Model,Year,Mileage,Fault Codes,WorkDone,"
        "LabourHours,Remarks,Bay\n"
        "17,2025-05-14,KM,Hums,Halden,Carrier,2019,142300 km,P0301,new bearing,2.5,Ran well,3\n"
    )
    bring_in_text(shop, table)
    note = only(shop)
    assert (note.case, note.date, note.by) == ("17", "2025-05-14", "KM")
    assert note.symptom is not None and note.symptom.text == "Hums"
    assert (note.machine.make, note.machine.model, note.machine.year) == (
        "Halden", "Carrier", "2019",
    )  # fmt: skip
    assert note.machine.odometer == "142300 km"
    assert [code.text for code in note.codes] == ["P0301"]
    assert (note.routes[0].route, note.routes[0].labour_hours) == ("new bearing", "2.5")
    assert note.sections[0].heading == "Remarks"
    assert any("Bay: 3" in said.text for said in note.extra)


def test_a_guess_without_a_symptom_writes_nothing(shop: Path) -> None:
    with pytest.raises(MappingError, match="looks like the symptom"):
        bring_in_text(shop, "colour,size\nred,3\n")
    assert notes_of(shop) == []


def test_cells_are_data_whatever_they_look_like(shop: Path, tmp_path: Path) -> None:
    """Control bytes, formulas, paths and markup: safe names, and nothing but text in the note."""
    nasty = [
        "=cmd|' /C calc'!A0", "\x1b[31mred\x1b]52;c;aGk=\x07", "../../../x", "---", "# heading",
        "<script>alert(1)</script>", "```", "{{7*7}}",
        "imported: x, key 00000000000000000000-00000000",
        "!!python/object/apply:os.system [ls]", "&a [*a]", "CON", "/etc/passwd", "C:\\x:y*?",
    ]  # fmt: skip
    table = "No,Symptom,Story,Other\n"
    for text in nasty:
        cell = '"' + text.replace('"', '""') + '"'
        story = '"before\n' + text.replace('"', '""') + '\nafter"'
        table += f"{cell},{cell},{story},{cell}\n"
    mapping = '[note]\ncase = "No"\nsymptom = "Symptom"\n[body]\nStory = "Story"\nTail = "Other"\n'
    result = bring_in_text(shop, table, mapping)
    assert (result.taken, result.left_out) == (len(nasty), [])
    files = [file for file in tmp_path.rglob("*") if file.is_file()]
    assert {file.parent for file in files} == {tmp_path, shop / "kb" / "imported"}
    by_case = {note.case: note for note in notes_of(shop)}
    assert set(by_case) == set(nasty)
    for text, note in by_case.items():
        assert note.problems == ()
        assert note.symptom is not None and note.symptom.text == text
        assert [section.heading for section in note.sections] == ["Story", "Tail"]
        data = (shop / note.path).read_bytes()
        assert not set(data) & (set(range(32)) - {10}), "no control byte reaches the file"
        assert data.count(b"\nimported: ") == 1 + text.startswith("imported") * 2


def test_a_row_is_known_again_whatever_the_mapping(shop: Path) -> None:
    bring_in_text(shop, "S,T\nHums,1\n", '[note]\nsymptom = "S"\n')
    again = bring_in_text(shop, "S,T\nHums,1\n", '[note]\nsymptom = "T"\n')
    assert (again.taken, again.already) == (0, 1)
