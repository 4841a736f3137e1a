"""File names: good on every system, whatever the symptom says."""

from __future__ import annotations

import re
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore.keeping.names import MAX_BYTES, file_stem, same_name

FORBIDDEN = re.compile(r'[<>:"/\\|?*\x00-\x1f]')
"""Characters that Windows refuses in a name (Microsoft, Naming Files, Paths, and Namespaces)."""


@pytest.mark.parametrize(
    ("texts", "stem"),
    [
        (("2025-0147", "Droning hum: from 50, louder loaded!"),
         "2025-0147-droning-hum-from-50-louder-loaded"),
        (("", "../../etc/passwd"), "etc-passwd"),
        (("", "a:b"), "a-b"),
        (("", "CON"), "note-con"),
        (("", "lpt1 port dead"), "note-lpt1-port-dead"),
        (("", "console dead"), "console-dead"),
        (("", "hangs."), "hangs"),
        (("", " . .. "), "note"),
        (("", "Bremse quietscht, Räder hinten"), "bremse-quietscht-räder-hinten"),
        (("", "\ud800 x"), "x"),
    ],
)  # fmt: skip
def test_a10_a_symptom_becomes_a_name(texts: tuple[str, ...], stem: str) -> None:
    assert file_stem(*texts) == stem


def test_a10_a_long_symptom_is_cut_between_words() -> None:
    stem = file_stem("2025-0147", "whines " * 60)
    assert len(stem.encode()) <= MAX_BYTES - len("-999.md") and stem.endswith("whines")


@given(st.lists(st.text(max_size=300), max_size=3))
def test_a10_any_text_makes_a_good_name(texts: list[str]) -> None:
    stem = file_stem(*texts)
    assert stem and len(f"{stem}-999.md".encode()) <= MAX_BYTES
    assert not FORBIDDEN.search(stem) and stem.strip(" .-") == stem
    assert unicodedata.is_normalized("NFC", stem)
    assert file_stem(stem) == stem


def test_b12_spellings_that_a_file_system_may_hold_for_one() -> None:
    assert same_name("Räder.md") == same_name("RA\u0308DER.MD")
    assert same_name("a.md") != same_name("b.md")
