"""Nothing that a terminal acts on passes `shown`, and nothing visible is lost."""

from __future__ import annotations

import sys
import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from benchlore.text import MAX_COMBINING, encodable, shown, shown_line


def test_d01_every_code_point_is_harmless_or_becomes_a_visible_mark() -> None:
    for code in range(sys.maxunicode + 1):
        char = chr(code)
        out = shown(char)
        assert out, f"U+{code:04X} vanished"
        for each in out:
            category = unicodedata.category(each)
            assert each == "\n" or category not in ("Cc", "Cf", "Cs", "Zl", "Zp"), f"U+{code:04X}"


def test_the_marks_name_what_they_stand_for() -> None:
    assert shown("a\x1b[31mb") == "a\N{SYMBOL FOR ESCAPE}[31mb"
    assert shown("\u202eabc\x9b") == "<U+202E>abc<U+009B>"
    assert shown("\udcff.md") == "\\xff.md"
    assert shown("a\tb\r\nc\rd") == "a    b\nc\nd"
    assert shown_line(" a \n\t b ") == "a b"


def test_d03_combining_marks_are_clipped() -> None:
    assert len(shown("a" + "\u0301" * 1000)) == 1 + MAX_COMBINING
    assert shown("e\u0301") == "e\u0301"


@given(st.text(st.characters(exclude_categories=["Cc", "Cf", "Cs", "Co", "Zl", "Zp", "Mn", "Me"])))
def test_d02_what_is_visible_stays_as_it_is(text: str) -> None:
    assert shown(text) == text


def test_d08_signs_of_the_trade_have_a_plain_spelling() -> None:
    assert encodable("≤ 5 Ω, ½ µm, ±2", "ascii") == "<= 5 ohm, 1/2 um, +/-2"
    assert encodable("naïve", "ascii") == "naive"
    assert encodable("\N{SYMBOL FOR ESCAPE}[31m", "ascii") == "<ESCAPE>[31m"
    assert encodable("漢", "no such encoding") == "<U+6F22>"


@given(st.text(), st.sampled_from(["ascii", "cp1252", "latin-1", "cp437", "utf-8"]))
def test_d08_any_text_can_be_written_in_any_encoding(text: str, encoding: str) -> None:
    encodable(shown(text), encoding).encode(encoding)
