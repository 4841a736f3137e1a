"""Bytes to text and back."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore.notes.decode import NotText, decode

MARKS = st.sampled_from(
    [b"", b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff", b"\xff\xfe\0\0", b"\0\0\xfe\xff"]
)


@given(MARKS, st.one_of(st.binary(max_size=60), st.text(max_size=40).map(str.encode)))
def test_every_byte_comes_back(mark: bytes, data: bytes) -> None:
    try:
        decoded = decode(mark + data)
    except NotText:
        return
    assert decoded.encode(decoded.raw) + (mark + data)[decoded.used :] == mark + data
    assert len(decoded.raw) == len(decoded.text)
    decoded.text.encode("utf-8")


@pytest.mark.parametrize("cut", range(6))
def test_a_utf_8_file_is_cut_between_characters(cut: int) -> None:
    decoded = decode(("a" * cut + "°€😀" * 30_000).encode())
    assert decoded.encoding == "utf-8"
    assert 256 * 1024 - 4 < decoded.used <= 256 * 1024


def test_old_bytes_read_like_windows_1252() -> None:
    assert decode(b"\x80 \x93x\x94 \xb5").text == "€ “x” µ"
    assert decode(b"10 \xb5m").encoding == "cp1252"
    assert decode("Ω ".encode() + b"10 \xb5m").encoding == "mixed"


def test_wide_text_with_half_a_pair_is_read() -> None:
    decoded = decode(b"\xff\xfe" + b"a\0" + b"\x00\xd8" + b"b\0")
    assert decoded.text == "a\N{REPLACEMENT CHARACTER}b"
    assert decoded.problems[0].what == "a damaged character"


def test_broken_utf_32_is_not_text() -> None:
    with pytest.raises(NotText):
        decode(b"\xff\xfe\0\0" + b"\xff\xff\xff\xff" * 8)


def test_a_terminal_log_is_text() -> None:
    assert decode(b"\x1b[31mred\x1b[0m\n" * 20).encoding == "utf-8"
