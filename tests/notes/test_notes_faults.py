"""One test or more for each row of the fault list that notes/ is answerable for.

Outside checks: YAML 1.2.2 (sections named in the tests), CommonMark 0.31.2.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import AbstractContextManager

import pytest

from benchlore.notes import Note, NotEditable, NotText, read_note, set_field

Read = Callable[..., Note]
AtMost = Callable[[float], AbstractContextManager[None]]

pytestmark = pytest.mark.usefixtures("either_parser")


def matter(*lines: str) -> str:
    return "\n".join(["---", *lines, "---", "Body text.", ""])


def whats(note: Note) -> list[str]:
    return [problem.what for problem in note.problems]


def everything(note: Note) -> str:
    """All text that the note's fields and sections hold, for 'nothing is lost'."""
    return repr(
        [getattr(note, name) for name in note.__slots__ if name not in ("text", "problems")]
    )


# B15 huge notes


def test_b15_only_the_first_256_kb_are_read_and_it_says_so(read: Read) -> None:
    note = read(b"hum from the rear\n\n" + b"x" * 400_000)
    assert len(note.text) == 256 * 1024
    assert any("only the first 256 kB were read" in what for what in whats(note))


def test_b15_the_size_of_a_file_read_in_part_is_believed() -> None:
    note = read_note("kb/a.md", b"hum", size=5 * 1024**3)
    assert "this file holds 5242880 kB, only the first 256 kB were read" in whats(note)


def test_b15_the_cap_does_not_cut_a_character_in_two(read: Read) -> None:
    for shift in range(4):
        note = read(b"x" * shift + "°€😀".encode() * 40_000)
        assert note.encoding == "utf-8"
        assert "\N{REPLACEMENT CHARACTER}" not in note.text


def test_b15_front_matter_of_100_kb_stands_as_text_and_is_kept(read: Read, at_most: AtMost) -> None:
    rows = [f"  - check: test {i} of the pump" for i in range(4000)]
    with at_most(0.5):
        note = read(matter("checks:", *rows))
    assert not note.front_matter_read
    assert "the front matter is larger than 64 kB" in whats(note)
    assert "test 3999 of the pump" in everything(note)
    assert max(stated.lines.last - stated.lines.first for stated in note.extra) < 30


def test_b15_too_many_entries_stand_as_text(read: Read) -> None:
    note = read(matter("checks:", *["- a: b"] * 9_000))
    assert "the front matter holds too many entries" in whats(note)
    assert not note.front_matter_read


def test_b15_one_line_of_256_kb_is_read(read: Read, at_most: AtMost) -> None:
    with at_most(2):
        note = read("word " * 60_000)
    assert note.symptom is not None
    assert len(note.symptom.text) <= 200


# C1 to C5 bytes, encodings, line ends


def test_c01_random_bytes_are_not_text() -> None:
    for size in (64, 512, 4096, 300_000):
        with pytest.raises(NotText, match="not text"):
            read_note("kb/photo.md", os.urandom(size) + bytes(range(256)))


def test_c01_a_picture_is_not_text() -> None:
    png = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\1\0\0\0\1\0\10\6\0\0\0" + bytes(range(256)) * 3
    with pytest.raises(NotText):
        read_note("kb/photo.md", png)


def test_c01_single_nuls_are_kept(read: Read) -> None:
    note = read("---\nsymptom: hum\0from rear\nby: K\0M\n---\nwhines\0at 3000 rpm\n")
    assert note.symptom is not None
    assert note.symptom.text == "hum\0from rear"
    assert note.by == "K\0M"
    assert note.sections[0].blocks[0].text == "whines\0at 3000 rpm"
    assert note.front_matter_read


def test_c02_byte_order_mark_is_as_if_absent(read: Read) -> None:
    plain = read(matter("symptom: hum"))
    marked = read(b"\xef\xbb\xbf" + matter("symptom: hum").encode())
    assert marked.symptom == plain.symptom
    assert marked.text == plain.text


@pytest.mark.parametrize("encoding", ["utf-16-le", "utf-16-be", "utf-32-le", "utf-32-be"])
def test_c03_utf_16_and_32_with_mark_are_read(read: Read, encoding: str) -> None:
    note = read(("\ufeff" + matter("symptom: hum at 5 °C, 10 Ω")).encode(encoding))
    assert note.symptom is not None
    assert note.symptom.text == "hum at 5 °C, 10 Ω"
    assert note.encoding == encoding
    assert note.problems == ()


def test_c03_half_a_character_at_the_end_is_named(read: Read) -> None:
    note = read("\ufeffhum".encode("utf-16-le") + b"x")
    assert note.text == "hum"
    assert whats(note) == ["the last character of the file is not complete"]


def test_c04_cp1252_is_guessed_and_said(read: Read) -> None:
    note = read("---\nsymptom: hum\n---\n5 °C, 10 µm\n".encode("cp1252"))
    assert note.sections[0].blocks[0].text == "5 °C, 10 µm"
    assert whats(note) == ["encoding guessed: cp1252"]
    assert (note.problems[0].line, note.problems[0].column) == (4, 3)
    assert note.encoding == "cp1252"


def test_c04_one_old_byte_does_not_spoil_utf_8(read: Read) -> None:
    note = read("10 Ω at 5 ".encode() + b"\xb0C\x81")
    assert note.text == "10 Ω at 5 °C\x81"
    assert "encoding guessed: cp1252" in whats(note)


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_c05_line_numbers_are_the_editors(read: Read, end: str) -> None:
    odd = "\u2028 \u2029 \x85 \x0b \x0c"
    text = end.join(
        [
            "---",
            f"where: a {odd} b",
            "checks:",
            "  - check: c",
            "    found: d",
            "---",
            f"e{odd}",
            "",
            "f",
        ]
    )
    note = read(text)
    assert note.front_matter_read
    assert note.where is not None
    assert (note.where.text, note.where.lines.first, note.where.lines.last) == (f"a {odd} b", 2, 2)
    assert (note.checks[0].lines.first, note.checks[0].lines.last) == (4, 5)
    assert [block.lines.first for block in note.sections[0].blocks] == [7, 9]


# C6 ends of the front matter


def test_c06_front_matter_that_is_not_closed_is_body(read: Read) -> None:
    note = read("---\nsymptom: hum\nby: KM\n")
    assert not note.front_matter_read
    assert note.problems[0].line == 1
    assert "not closed" in note.problems[0].what
    assert "symptom: hum" in note.sections[0].blocks[0].text
    assert note.by == ""


def test_c06_three_dots_close_it(read: Read) -> None:
    note = read("---\nby: KM\n...\nbody\n---\nmore\n")
    assert note.by == "KM"
    assert note.body_line == 4
    assert "body" in everything(note)
    assert "more" in everything(note)


def test_c06_a_second_front_matter_is_body_and_named(read: Read) -> None:
    for second in ("by: JT\n---\n", "---\nby: JT\n---\n"):
        note = read("---\nby: KM\n---\n" + second)
        assert note.by == "KM"
        assert "by: JT" in everything(note)
        assert [(p.line, p.what) for p in note.problems] == [
            (4, "a second front matter starts here")
        ]


def test_c06_a_rule_below_the_body_is_no_second_front_matter(read: Read) -> None:
    note = read("---\nby: KM\n---\nHums at 50: always\n\n---\nmore\n")
    assert note.problems == ()


def test_c06_a_document_mark_inside_hides_nothing(read: Read) -> None:
    note = read(matter("by: KM", "--- now", "system: wheels"))
    assert (note.by, note.system) == ("KM", "wheels")
    assert "now" in everything(note)
    assert note.problems[0].line == 3


def test_c06_a_rule_on_top_of_plain_text_is_no_front_matter(read: Read) -> None:
    note = read("---\nHums in left-handers\n---\nmore\n")
    assert "Hums in left-handers" in everything(note)
    assert note.symptom is not None
    assert note.symptom.text == "Hums in left-handers"
    assert note.symptom.lines.first == 2


# C7 YAML that cannot be read


@pytest.mark.parametrize(
    ("line", "column", "what", "value"),
    [
        ("where: a: b", 8, "a text with ': ' in it needs quotes", "a: b"),
        ("where: >= 1.0 bar", 8, "a text that starts with '>' needs quotes", ">= 1.0 bar"),
        ("where: @KM", 8, "a text that starts with '@' needs quotes", "@KM"),
        ("where: %50", 8, "a text that starts with '%' needs quotes", "%50"),
        ("where: `x`", 8, "a text that starts with '`' needs quotes", "`x`"),
        ('where: "rear', 8, "a quotation mark is not closed", '"rear'),
        ("where: '12 V' at relay", 8, "quotation marks", "'12 V' at relay"),
        ("where: - rear", 8, "a text that starts with '-' needs quotes", "- rear"),
        ("where:rear", 7, "the space after ':' is missing", "rear"),
    ],
)
def test_c07_broken_yaml_names_line_and_keeps_the_rest(
    read: Read, line: str, column: int, what: str, value: str
) -> None:
    note = read(matter("case: 12", line, "system: wheels", "present: [cold, wet]"))
    assert not note.front_matter_read
    assert [(p.line, p.column) for p in note.problems] == [(3, column)]
    assert what in note.problems[0].what
    assert note.where is not None
    assert (note.where.text, note.where.lines.first) == (value, 3)
    assert (note.case, note.system) == ("12", "wheels")
    assert [stated.text for stated in note.present] == ["cold", "wet"]


def test_c07_the_cure_is_said_in_words_that_can_be_typed(read: Read) -> None:
    note = read(matter("symptom: a: b"))
    assert note.problems[0].todo == 'read as plain text; write symptom: "a: b"'
    assert read(matter('symptom: "a: b"')).problems == ()


def test_c07_what_cannot_be_cured_stands_as_text(read: Read) -> None:
    note = read(matter("present: [cold, wet", "by: KM"))
    assert [stated.text for stated in note.extra] == ["present: [cold, wet"]
    assert note.extra[0].lines.first == 2
    assert note.by == "KM"
    assert note.problems[0].line == 2


def test_c07_one_broken_check_leaves_the_others(read: Read) -> None:
    note = read(
        matter(
            "checks:",
            "  - check: pressure",
            "    limit: >= 1.0 bar   # plate",
            "    value: 0.8 bar",
            "  - check: 'it's dry'",
            "  - check: play",
            "    rules_out: [bearing",
            "  - check: last",
        )
    )
    assert [check.check for check in note.checks] == ["pressure", "'it's dry'", "play", "last"]
    assert (note.checks[0].limit, note.checks[0].value) == (">= 1.0 bar", "0.8 bar")
    assert [problem.line for problem in note.problems] == [4, 6, 8]


def test_c07_more_broken_items_than_are_cured_at_once(read: Read) -> None:
    rows = [f"  - check: c{i}\n    limit: >= {i} bar" for i in range(40)]
    note = read(matter("checks:", *rows, "by: KM"))
    assert [check.limit for check in note.checks] == [f">= {i} bar" for i in range(40)]
    assert note.by == "KM"
    assert len(note.problems) == 40


def test_c07_tabs_in_front_are_read_as_spaces(read: Read) -> None:
    note = read(matter("machine:", "\tmake: Halden", "\tmodel: Drover", "by: KM"))
    assert (note.machine.make, note.machine.model, note.by) == ("Halden", "Drover", "KM")
    assert (note.problems[0].line, note.problems[0].what) == (3, "a tab at the start of the line")


def test_c07_lines_without_a_name_are_kept(read: Read) -> None:
    note = read(matter("by: KM", "hums at 50", "system: wheels"))
    assert [stated.text for stated in note.extra] == ["hums at 50"]
    assert (note.by, note.system, note.problems[0].line) == ("KM", "wheels", 3)


# C8 to C11 values


@pytest.mark.parametrize("written", ["2025-05-14", "14.05.2025", "2025-5-4", "14/05/2025"])
def test_c08_dates_are_kept_as_typed(read: Read, written: str) -> None:
    note = read(matter(f"date: {written}"))
    assert note.date == written
    assert note.problems == ()


def test_c08_a_day_that_does_not_exist_is_named(read: Read) -> None:
    note = read(matter("by: KM", "date: 2025-02-30", "outcome: {result: fixed, date: 2025-13-01}"))
    assert note.date == "2025-02-30"
    assert note.outcome is not None
    assert note.outcome.date == "2025-13-01"
    assert [(p.line, p.column) for p in note.problems] == [(3, 7), (4, 32)]
    assert "2025-02-30" in note.problems[0].what


@pytest.mark.parametrize("case", ["0147", "0189", "2025-01-47", "1E10", "1_000", "0x1F", "0o17"])
def test_c09_case_numbers_are_exactly_as_typed(read: Read, case: str) -> None:
    assert read(matter(f"case: {case}")).case == case


@pytest.mark.parametrize(
    "value",
    ["NO", "ON", "y", "~", "null", "12:30", "1:30", "=", "<<", "Yes", ".5", ".inf", "2025-02-30"],
)
def test_c10_words_that_yaml_converts_are_exactly_as_typed(read: Read, value: str) -> None:
    note = read(matter(f"by: {value}", f"codes: [{value}]", f"{value}: kept"))
    assert note.by == value
    assert note.codes[0].text == value
    assert note.front_matter_read
    assert value == "y" or f"{value}: kept" in [stated.text for stated in note.extra]


def test_c10_merge_keys_merge_nothing(read: Read) -> None:
    note = read(matter("outcome:", "  <<: {result: fixed}", "  after: 2 days"))
    assert note.outcome is not None
    assert note.outcome.result == ""
    assert note.outcome.extra == (("<<", "result: fixed"),)


def test_c11_both_values_of_a_key_are_kept(read: Read) -> None:
    note = read(matter("checks:", "  - check: a", "by: KM", "checks:", "  - check: b", "by: JT"))
    assert [check.check for check in note.checks] == ["a", "b"]
    assert note.by == "KM"
    assert [stated.text for stated in note.extra] == ["by: JT"]
    assert "key 'checks' twice (lines 2, 5)" in whats(note)
    assert "key 'by' twice (lines 4, 7)" in whats(note)


def test_c11_a_key_twice_in_one_check_is_named(read: Read) -> None:
    note = read(matter("checks:", "  - check: a", "    value: 1 mm", "    value: 2 mm"))
    assert note.checks[0].value == "1 mm"
    assert note.checks[0].extra == (("value", "2 mm"),)
    assert whats(note) == ["key 'value' twice (lines 4, 5)"]


# C13 to C15 hostile YAML

BOMB = ["a: &a [lol,lol,lol,lol,lol,lol,lol,lol,lol]"] + [
    f"{chr(98 + i)}: &{chr(98 + i)} [{','.join(['*' + chr(97 + i)] * 9)}]" for i in range(8)
]


@pytest.mark.parametrize(
    "lines",
    [BOMB, ["a: &a [*a]"], ["b: &b {k: v}", "c: {<<: [*b, *b]}"], ["a: *b"]],
    ids=["bomb", "cycle", "merge", "alias"],
)
def test_c13_anchors_are_read_as_text(read: Read, at_most: AtMost, lines: list[str]) -> None:
    with at_most(0.05):
        note = read(matter(*lines, "by: KM"))
    assert not note.front_matter_read
    assert "anchors are not used in case notes" in whats(note)
    assert all(line in everything(note) for line in lines)
    assert note.by == "KM"


@pytest.mark.parametrize("count", [13, 1_000, 100_000])
@pytest.mark.parametrize("opening", ["[", "{", "- ", "? ", "[[{", "{a: ", "[\n", "!!x [", "&a ["])
def test_c14_deep_nesting_in_yaml_is_text(
    read: Read, at_most: AtMost, opening: str, count: int
) -> None:
    with at_most(0.1 if count < 100_000 or "\n" not in opening else 0.3):
        note = read(matter("where: " + (opening * count)[:200_000], "by: KM"))
    assert not note.front_matter_read
    assert note.extra or note.where
    assert note.problems


@pytest.mark.parametrize("depth", [13, 300])
def test_c14_deep_nesting_by_indentation_is_text(read: Read, at_most: AtMost, depth: int) -> None:
    lines = [" " * i + "a:" for i in range(1, depth)]
    with at_most(0.1):
        note = read(matter("x:", *lines, "by: KM"))
    assert note.by == "KM"
    assert "the front matter is nested too deep" in whats(note)


@pytest.mark.parametrize(
    "value",
    [
        "!!python/object/apply:os.system [echo]",
        "!!int x",
        "!!binary aGk=",
        "!x y",
        "! y",
        "!!set {a}",
    ],
)
def test_c15_tags_are_text_and_nothing_runs(read: Read, value: str) -> None:
    note = read(matter(f"where: {value}", "by: KM"))
    assert not note.front_matter_read
    assert whats(note) == ["tags are not used in case notes"]
    assert value in everything(note)
    assert note.by == "KM"


# C16 C17 odd values and shapes


@pytest.mark.parametrize(
    "value", ["9" * 5000, "1e999", ".nan", ".inf", "٣", "²", "0.14 furlong", "5..3"]
)
def test_c16_odd_numbers_are_kept_as_typed(read: Read, value: str) -> None:
    note = read(matter("checks:", f"  - {{check: a, value: {value}, limit: {value}}}"))
    assert (note.checks[0].value, note.checks[0].limit) == (value, value)


def test_c17_a_text_where_a_list_is_meant(read: Read) -> None:
    note = read(matter("present: when cold", "codes: P0301, P0302", "see: a.md, b.md"))
    assert [stated.text for stated in note.present] == ["when cold"]
    assert [stated.text for stated in note.codes] == ["P0301", "P0302"]
    assert note.see == ("a.md", "b.md")


def test_c17_a_list_where_a_text_is_meant(read: Read) -> None:
    note = read(matter("symptom: [hums, at 50]", "by: [KM, JT]"))
    assert note.symptom is not None
    assert note.symptom.text == "hums, at 50"
    assert note.by == "KM, JT"


def test_c17_rows_in_other_shapes(read: Read) -> None:
    texts = read(
        matter("checks: [tyres swapped, hub spun]", "causes: hub seal", "routes: [new hub]")
    )
    assert [check.check for check in texts.checks] == ["tyres swapped", "hub spun"]
    assert texts.causes[0].part == "hub seal"
    assert texts.routes[0].route == "new hub"
    alone = read(matter("checks: {check: play, value: 0.1 mm}", "outcome: fixed"))
    assert (alone.checks[0].check, alone.checks[0].value) == ("play", "0.1 mm")
    assert alone.outcome is not None
    assert alone.outcome.result == "fixed"
    named = read(matter("checks:", "  compression: 8 bar", "  play:", "    value: 1 mm"))
    assert [(c.check, c.found, c.value) for c in named.checks] == [
        ("compression", "8 bar", ""),
        ("play", "", "1 mm"),
    ]
    assert read(matter("machine: Halden Drover")).machine.model == "Halden Drover"


def test_c17_nulls_and_numbers_as_keys(read: Read) -> None:
    note = read(matter("symptom:", "by: ", "checks:", "outcome:", "12: twelve", "? [a, b]", ": c"))
    assert note.symptom is not None
    assert note.symptom.text == "Body text."
    assert (note.by, note.checks, note.outcome) == ("", (), None)
    assert [stated.text for stated in note.extra] == ["12: twelve", "[a, b]: c"]


def test_c17_unknown_keys_are_kept_everywhere(read: Read) -> None:
    note = read(
        matter("bay: 3", "machine: {make: Halden, colour: red}", "checks: [{check: a, tool: b}]")
    )
    assert [stated.text for stated in note.extra] == ["bay: 3"]
    assert note.machine.extra == (("colour", "red"),)
    assert note.checks[0].extra == (("tool", "b"),)


def test_c17_spelling_of_keys_is_forgiven(read: Read) -> None:
    note = read(matter("Symptom: hum", "Checks:", "  - Check: play", "    Rules out: [tyres]"))
    assert note.symptom is not None
    assert note.symptom.text == "hum"
    assert note.checks[0].rules_out == ("tyres",)


def test_c18_a_newer_format_is_shown_but_not_changed(read: Read) -> None:
    text = matter("format: 2", "symptom: hum", "spectrum: {peak: 84 Hz}")
    note = read(text)
    assert note.symptom is not None
    assert note.symptom.text == "hum"
    assert [stated.text for stated in note.extra] == ["format: 2", "spectrum: peak: 84 Hz"]
    assert "format 2" in whats(note)[0]
    with pytest.raises(NotEditable, match="format 2"):
        set_field(text.encode(), "by", "KM")


# C20 cautions that cannot be read


@pytest.mark.parametrize(
    "lines",
    [
        ["cautions: [stands under the axle", "by: KM"],
        ["cautions: *x"],
        ["cautions:stands"],
        ["cautions:", "  - stands: under: axle"],
        ["cautions:", "\t- stands", "by: @KM"],
        ["by: @KM", "cautions [stands]"],
        ["a: " + "[" * 20 + "cautions", "  cautions: x", "by: @KM"],
        ["cautions: " + "[" * 20],
        ["cautions: [a]", "x: " + "y" * 70_000],
        ["Caution: @x"],
    ],
)
def test_c20_cautions_that_cannot_be_read_are_flagged(read: Read, lines: list[str]) -> None:
    note = read(matter(*lines))
    assert not note.front_matter_read
    assert note.cautions_unread
    assert "autions" in everything(note) or note.cautions or note.extra


def test_c20_unclosed_front_matter_with_cautions_is_flagged(read: Read) -> None:
    assert read("---\nby: KM\ncautions: [stands under]\n").cautions_unread


@pytest.mark.parametrize("broken", ["where: a: b", "where: [a", "where: &a b", "@", 'where: "a'])
def test_c20_cautions_that_were_read_are_not_flagged(read: Read, broken: str) -> None:
    for lines in ([broken, "cautions: [stands]"], ["cautions:", "- stands", broken]):
        note = read(matter(*lines))
        assert not note.front_matter_read
        assert [stated.text for stated in note.cautions] == ["stands"]
        assert not note.cautions_unread


def test_c20_sound_front_matter_is_not_flagged(read: Read) -> None:
    note = read(matter("cautions: [stands under the axle]", "where: |", "  cautions: none"))
    assert not note.cautions_unread
    assert note.front_matter_read
