"""Changing one field leaves every other byte as it was."""

from __future__ import annotations

import pytest

from benchlore.notes import NotEditable, Value, read_note, set_field

NOTE = """---
# the shop's card
case: "0147"      # as printed
machine: {make: Halden, model: 'Carrier 35', odometer: 142300 km}  # van
symptom: Droning hum
bay:   3
present: [above 50 km/h, turning left]   # when
checks:   # in order
  # first the cheap one
  - check: tyres swapped
    minutes: 25   # quick
  - check: play, right rear
    value: 0.14 mm
    limit: "<= 0.05 mm"
causes:
- {part: wheel bearing, fault: pitted}
where: >
  from the rear,
  right side

empty:
---
## Complaint
Body --- stays.
"""


def changed(before: str, after: bytes) -> tuple[list[str], list[str]]:
    """Lines that went and lines that came."""
    old, new = before.split("\n"), after.decode().split("\n")
    while old and new and old[0] == new[0]:
        del old[0], new[0]
    while old and new and old[-1] == new[-1]:
        del old[-1], new[-1]
    return old, new


@pytest.mark.usefixtures("either_parser")
@pytest.mark.parametrize(
    ("key", "value", "old", "new"),
    [
        ("symptom", "Hum", ["symptom: Droning hum"], ["symptom: Hum"]),
        ("case", "0148", ['case: "0147"      # as printed'], ["case: 0148      # as printed"]),
        ("symptom", "a: b", ["symptom: Droning hum"], ['symptom: "a: b"']),
        ("bay", "", ["bay:   3"], ['bay:   ""']),
        (
            ("machine", "model"),
            "Carrier, 28",
            ["machine: {make: Halden, model: 'Carrier 35', odometer: 142300 km}  # van"],
            ['machine: {make: Halden, model: "Carrier, 28", odometer: 142300 km}  # van'],
        ),
        (
            ("machine", "year"),
            "2019",
            ["machine: {make: Halden, model: 'Carrier 35', odometer: 142300 km}  # van"],
            ["machine: {make: Halden, model: 'Carrier 35', odometer: 142300 km,"
             " year: 2019}  # van"],
        ),
        (("checks", 1, "value"), "0.2 mm", ["    value: 0.14 mm"], ["    value: 0.2 mm"]),
        (("checks", 0, "ok"), "false", [], ["    ok: false"]),
        (("checks", 1, "limit"), ">= 1 b", ['    limit: "<= 0.05 mm"'], ['    limit: ">= 1 b"']),
        (("checks", 2), {"check": "hub"}, [], ["  - {check: hub}"]),
        (("causes", 1), {"part": "seal"}, [], ["- {part: seal}"]),
        (("causes", 0, "certainty"), "proved", ["- {part: wheel bearing, fault: pitted}"],
         ["- {part: wheel bearing, fault: pitted, certainty: proved}"]),
        ("present", ["cold", "a, b"], ["present: [above 50 km/h, turning left]   # when"],
         ['present: [cold, "a, b"]   # when']),
        (("present", 1), "right", ["present: [above 50 km/h, turning left]   # when"],
         ["present: [above 50 km/h, right]   # when"]),
        (("present", 2), "loaded", ["present: [above 50 km/h, turning left]   # when"],
         ["present: [above 50 km/h, turning left, loaded]   # when"]),
        ("where", "rear", ["where: >", "  from the rear,", "  right side"], ["where: rear"]),
        ("empty", "no more", ["empty:"], ["empty: no more"]),
        (("empty", "result"), "fixed", ["empty:"], ["empty: {result: fixed}"]),
        ("by", "KM", [], ["by: KM"]),
        (("outcome", "result"), "open", [], ["outcome: {result: open}"]),
        (
            "causes",
            [{"part": "hub", "fault": "worn", "certainty": "likely", "note": "x"}],
            ["- {part: wheel bearing, fault: pitted}"],
            ["- part: hub", "  fault: worn", "  certainty: likely", "  note: x"],
        ),
    ],
)  # fmt: skip
def test_only_the_lines_of_the_field_change(
    key: str | tuple[str | int, ...], value: Value, old: list[str], new: list[str]
) -> None:
    after = set_field(NOTE.encode(), key, value)
    assert changed(NOTE, after) == (old, new)


def test_a_block_becomes_one_text_on_the_line_of_its_key() -> None:
    after = set_field(NOTE.encode(), "checks", "none").decode()
    assert "checks: none   # in order\n  # first the cheap one\ncauses:" in after


def test_one_text_becomes_a_block_below_its_comment() -> None:
    checks: Value = [{"check": "a", "value": "1 mm", "ok": "true", "rules_out": ["x", "y"]}]
    after = set_field(b"---\nchecks: none # yet\nby: KM\n---\n", "checks", checks)
    assert after == (
        b"---\nchecks: # yet\n  - check: a\n    value: 1 mm\n    ok: true\n    rules_out: [x, y]\n"
        b"by: KM\n---\n"
    )


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-32", "cp1252"])
def test_line_ends_encoding_mark_and_missing_last_newline_stay(encoding: str, end: str) -> None:
    text = end.join(["---", "symptom: hum at 5 °C", "bay: 3", "---", "körper"])
    data = text.encode(encoding)
    after = set_field(data, "by", "KÄ")
    assert after == text.replace("bay: 3", f"bay: 3{end}by: KÄ").encode(encoding)
    assert set_field(after, "symptom", "x") == text.replace("hum at 5 °C", "x").replace(
        "bay: 3", f"bay: 3{end}by: KÄ"
    ).encode(encoding)


def test_a_character_the_encoding_lacks_is_escaped() -> None:
    after = set_field("---\nwhere: 5 °C\n---\n".encode("cp1252"), "by", "≤ Ω ä")
    assert after == b'---\nwhere: 5 \xb0C\nby: "\\u2264 \\u03A9 \xe4"\n---\n'
    assert read_note("kb/a.md", after).by == "≤ Ω ä"


def test_bytes_after_the_first_256_kb_stay() -> None:
    data = b"---\nby: KM\n---\n" + "x°".encode() * 100_000 + b"\xff\0"
    assert set_field(data, "by", "JT") == data.replace(b"KM", b"JT", 1)


def test_stray_bytes_stay() -> None:
    data = "---\nby: KM\nwhere: Ω ".encode() + b"\xb0 \x81\n---\n\xb5\xff"
    assert set_field(data, "by", "JT") == data.replace(b"KM", b"JT")


@pytest.mark.parametrize("body", ["", "Hums.\n", "Hum\r\n", "text: x\n"])
def test_front_matter_is_made_where_there_is_none(body: str) -> None:
    end = "\r\n" if "\r\n" in body else "\n"
    after = set_field(body.encode(), "by", "KM")
    assert after == f"---{end}by: KM{end}---{end}{body}".encode()


def test_empty_front_matter_is_filled() -> None:
    assert set_field(b"---\n# none\n---\nx", "by", "KM") == b"---\n# none\nby: KM\n---\nx"


def test_front_matter_in_braces_is_kept_so() -> None:
    assert set_field(b"---\n{case: 1}\n---\n", "by", "KM") == b"---\n{case: 1, by: KM}\n---\n"
    assert set_field(b"---\n{}\n---\n", "by", "KM") == b"---\n{by: KM}\n---\n"


def test_indented_front_matter_is_kept_so() -> None:
    assert set_field(b"---\n  case: 1\n---\n", "by", "KM") == b"---\n  case: 1\n  by: KM\n---\n"


def test_the_value_that_is_there_changes_nothing() -> None:
    assert set_field(NOTE.encode(), ("machine", "model"), "Carrier 35") == NOTE.encode()
    assert set_field(NOTE.encode(), "present", ["above 50 km/h", "turning left"]) == NOTE.encode()


def test_the_first_of_two_equal_keys_is_changed() -> None:
    assert set_field(b"---\nby: A\nby: B\n---\n", "by", "C") == b"---\nby: C\nby: B\n---\n"


def test_a_key_spelled_another_way_is_found() -> None:
    assert set_field(b"---\nRules out: a\n---\n", "rules_out", "b") == b"---\nRules out: b\n---\n"


@pytest.mark.parametrize(
    "text",
    [
        "NO", "12:30", "0147", "~", "null", "=", "<<", "1_000", "hum, rising", "it's", 'a "b"',
        "ends:", "a: b", "a #b", "a#b", "#a", "- a", "-a", "? a", ": a", "@a", "%a", "`a", "&a",
        "*a",
        "!a", "|", ">", "[a", "a]", "{a", "a}", "", " ", " a", "a ", "\t", "a\nb", "a\r\nb", "\n",
        "\x00\x07\x1b\x7f", "\u2028\x85\ufeff", "---", "...", "\\", "\\n", "'", '"', "é 😀", "<= 1",
        ">= 1", "a" * 2000, "k", "k: v, k: v",
    ],
)  # fmt: skip
def test_every_text_reads_back_the_same(text: str) -> None:
    block = set_field(b"---\nx: y\n---\n", "by", text)
    assert read_note("kb/a.md", block).by == (text if text.strip() else "")
    flow = set_field(b"---\nmachine: {make: a, model: b}\n---\n", ("machine", "make"), text)
    machine = read_note("kb/a.md", flow).machine
    assert (machine.make, machine.model) == (text.strip(), "b")
    if len(text) > 1000:
        return  # YAML 1.2.2, 7.4.2: a key is at most 1,024 characters long
    as_key = set_field(b"---\nx: y\n---\n", ("machine", text + "k"), "v")
    assert dict(read_note("kb/a.md", as_key).machine.extra) == {text + "k": "v"}


@pytest.mark.parametrize(
    "text", ["NO", "12:30", "hum, rising", "it's", "a#b", "ends with ]", "-a", "<= 1"]
)
def test_quotes_are_left_out_where_they_are_not_needed(text: str) -> None:
    assert set_field(b"---\nx: y\n---\n", "by", text) == f"---\nx: y\nby: {text}\n---\n".encode()


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("---\nby: a: b\n---\n", "cannot be read as a whole .line 2"),
        ("---\nby: KM\n", "not closed"),
        ("---\nby: &a KM\n---\n", "anchors"),
        ("---\nprose\n---\n", "name"),
        ("---\nformat: 2\n---\n", "format 2"),
    ],
)
def test_what_cannot_be_read_as_a_whole_is_refused(text: str, reason: str) -> None:
    with pytest.raises(NotEditable, match=reason):
        set_field(text.encode(), "system", "wheels")


def test_format_1_is_changed() -> None:
    assert b"by: KM" in set_field(b"---\nformat: 1\n---\n", "by", "KM")


@pytest.mark.parametrize(
    ("key", "reason"),
    [
        (("symptom", "x"), "does not fit"),
        (("checks", 5), "there is no item 6"),
        (("checks", "x"), "does not fit"),
        (("machine", 0), "does not fit"),
        ((), "needs a name"),
        ((0,), "needs a name"),
    ],
)
def test_a_key_that_does_not_fit_is_refused(key: tuple[str | int, ...], reason: str) -> None:
    with pytest.raises(NotEditable, match=reason):
        set_field(NOTE.encode(), key, "v")


def test_half_characters_are_refused() -> None:
    with pytest.raises(NotEditable):
        set_field(b"---\nby: KM\n---\n", "by", "\ud800")
