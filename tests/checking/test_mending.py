"""`--fix`: what is mended, what is left to people, and that nothing else in a file moves."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore.checking.mending import Mended, mend
from benchlore.checking.shop_checks import Checked, check_shop
from benchlore.notes import NotEditable, read_note
from benchlore.notes.splice import replace_text
from benchlore.shop import find_shop
from checking.notes import TODAY, front
from shops import REPOSITORY, no_report

DEMO = sorted(path for path in (REPOSITORY / "kb").rglob("*") if path.suffix in (".md", ".txt"))


def shop_with(root: Path, name: str, data: str | bytes) -> Path:
    file = root / "kb" / name
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_bytes(data.encode() if isinstance(data, str) else data)
    return file


def checked(root: Path) -> Checked:
    return check_shop(find_shop(str(root)), TODAY, no_report)


def mended(root: Path, dry_run: bool = False) -> Mended:
    found = checked(root)
    return mend(find_shop(str(root)), found.findings, found.copied, dry_run)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (front("date: 14.05.2025"), front("date: 2025-05-14")),
        (front('date: "14/05/2025" # that day'), front('date: "2025-05-14" # that day')),
        (front("date: 2025-5-4"), front("date: 2025-05-04")),
        (
            front("date: 2025-05-04", "outcome: {result: fixed, date: 30.5.2025}"),
            front("date: 2025-05-04", "outcome: {result: fixed, date: 2025-05-30}"),
        ),
        (front("codes: [P03O1, 'p0302 ', P0303]"), front("codes: [P0301, 'P0302 ', P0303]")),
        (
            front("codes:", "  - \N{CYRILLIC CAPITAL LETTER ER}0301  # seen twice"),
            front("codes:", "  - P0301  # seen twice"),
        ),
        (
            front("symptom: hums", body="VIN 1M8GDM9AXKP042788.\r\nMail a.b@example.org\n"),
            front("symptom: hums", body="VIN [taken out].\r\nMail [taken out]\n"),
        ),
        (front("by: KM, +44 7700 900123"), front("by: KM, [taken out]")),
    ],
)
def test_what_is_mended(tmp_path: Path, before: str, after: str) -> None:
    file = shop_with(tmp_path, "a.md", before)
    done = mended(tmp_path)
    assert file.read_bytes() == after.encode()
    assert done.done and not done.left and not done.unwritten
    assert all(finding.mend is None for finding in checked(tmp_path).findings)


def test_text_that_would_become_markup_is_quoted(tmp_path: Path) -> None:
    """A bracket may not begin a plain value, nor stand in one between brackets."""
    file = shop_with(tmp_path, "a.md", front("by: a.b@example.org", "see: [x, c@example.org]"))
    mended(tmp_path)
    note = read_note("kb/a.md", file.read_bytes())
    assert note.by == "[taken out]"
    assert note.see == ("x", "[taken out]")
    assert note.front_matter_read


@pytest.mark.parametrize(
    "note",
    [
        front("date: 04/05/2025"),  # May or April
        front("date: 2025-02-30"),
        front("codes: [X0301, P030, P4301]"),
        front("symptom: hums", body="Mrs Harriet Ploughman, AB12 CDE, VIN 1M8GDM9A1KP042788\n"),
        front("checks: [{check: play, value: 0.14, limit: '<= 0.05 mm'}]"),
        front("checks: [{check: play, value: 0.14 mm, limit: '<= 0.05 mm', ok: true}]"),
        front("symptom: hums", body="part 0281002667 fitted\n"),
    ],
)
def test_what_is_left_to_people(tmp_path: Path, note: str) -> None:
    file = shop_with(tmp_path, "a.md", note)
    assert checked(tmp_path).findings
    assert mended(tmp_path) == Mended()
    assert file.read_bytes() == note.encode()


def test_front_matter_that_cannot_be_read_is_left_and_said(tmp_path: Path) -> None:
    note = "---\nsymptom: a: b\ndate: 14.05.2025\n---\nring +44 7700 900123\n"
    file = shop_with(tmp_path, "a.md", note)
    done = mended(tmp_path)
    assert [left.why for left in done.left] == ["the front matter cannot be read as a whole"]
    assert file.read_bytes() == note.replace("+44 7700 900123", "[taken out]").encode()


def test_a_dry_run_writes_nothing(tmp_path: Path) -> None:
    file = shop_with(tmp_path, "a.md", front("date: 14.05.2025"))
    before = file.stat()
    assert len(mended(tmp_path, dry_run=True).done) == 1
    assert file.read_text() == front("date: 14.05.2025")
    assert file.stat().st_mtime_ns == before.st_mtime_ns


def test_a6_a_note_that_changed_meanwhile_is_left(tmp_path: Path) -> None:
    file = shop_with(tmp_path, "a.md", front("date: 14.05.2025"))
    found = checked(tmp_path)
    file.write_text(front("case: 7", "date: 15.05.2025"))
    done = mend(find_shop(str(tmp_path)), found.findings, found.copied)
    assert [left.why for left in done.left] == ["the note has changed since it was looked at"]
    assert file.read_text() == front("case: 7", "date: 15.05.2025")


def test_b14_a_note_with_a_copy_is_left(tmp_path: Path) -> None:
    for name in ("a.md", "b.md"):
        shop_with(tmp_path, name, front("date: 14.05.2025"))
    done = mended(tmp_path)
    assert [left.why for left in done.left] == [
        "this note stands in the shop twice; delete one first"
    ]


def test_a9_mode_encoding_and_byte_order_mark_stay(tmp_path: Path) -> None:
    old = b"\xef\xbb\xbf---\r\ndate: 14.05.2025\r\nsymptom: 80 \xb0C\r\n---\r\nEnd"
    file = shop_with(tmp_path, "a.md", old)
    file.chmod(0o640)
    assert mended(tmp_path).done
    assert file.read_bytes() == old.replace(b"14.05.2025", b"2025-05-14")
    assert file.stat().st_mode & 0o777 == 0o640
    assert os.listdir(file.parent) == ["a.md"]


def test_nothing_is_mended_in_the_demo_shop(tmp_path: Path) -> None:
    shutil.copytree(REPOSITORY / "kb", tmp_path / "kb")
    shutil.copytree(REPOSITORY / "articles", tmp_path / "articles")
    assert mended(tmp_path) == Mended()


@given(st.sampled_from(DEMO), st.data())
def test_a9_every_other_byte_of_a_demo_note_stays(path: Path, data: st.DataObject) -> None:
    """A date, a code and personal data put into a demo note are mended; the rest is as it was."""
    good = path.read_bytes()
    lines = good.split(b"\n")
    fence = lines.index(b"---", 1) if lines[0] == b"---" and b"---" in lines[1:] else -1
    bad_line, good_line = data.draw(
        st.sampled_from(
            [
                (b"noted: ring +44 7700 900123 first", b"noted: ring [taken out] first"),
                (b"noted: 'mail a.b@example.org'", b"noted: 'mail [taken out]'"),
            ]
        )
        if fence > 0
        else st.just((b"mail a.b@example.org", b"mail [taken out]"))
    )
    at = data.draw(st.sampled_from([1, fence])) if fence > 0 else len(lines)
    bad = b"\n".join([*lines[:at], bad_line, *lines[at:]])
    wanted = b"\n".join([*lines[:at], good_line, *lines[at:]])
    old = bad_line[bad_line.index(b"+") if b"+" in bad_line else bad_line.index(b"a.b") :]
    old = old[:15] if old.startswith(b"+") else b"a.b@example.org"
    note = read_note("kb/a.md", bad)
    start = note.text.index(old.decode())
    assert replace_text(bad, start, start + len(old), "[taken out]") == wanted


@given(st.sampled_from(DEMO), st.data())
def test_a9_a_splice_anywhere_changes_one_value_or_is_refused(
    path: Path, data: st.DataObject
) -> None:
    raw = path.read_bytes()
    text = read_note("kb/a.md", raw).text
    start = data.draw(st.integers(0, max(0, len(text) - 1)))
    end = min(len(text), start + data.draw(st.integers(1, 12)))
    try:
        changed = replace_text(raw, start, end, "[x]: 'y\" #")
    except NotEditable:
        return
    before, after = read_note("kb/a.md", raw), read_note("kb/a.md", changed)
    assert after.front_matter_read == before.front_matter_read
    assert len(after.checks) == len(before.checks)
    if start >= len(text) - len(text[text.find("\n---\n", 3) :]) > 3:
        assert changed == (text[:start] + "[x]: 'y\" #" + text[end:]).encode()


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-be", "utf-32"])
def test_c3_a_wide_encoding_stays(tmp_path: Path, encoding: str) -> None:
    mark = "\ufeff" if encoding == "utf-16-be" else ""
    text = mark + front("date: 14.05.2025", "symptom: 80 \N{DEGREE SIGN}C")
    file = shop_with(tmp_path, "a.md", text.encode(encoding))
    assert mended(tmp_path).done
    assert file.read_bytes() == text.replace("14.05.2025", "2025-05-14").encode(encoding)


def test_b15_a_note_of_which_only_the_beginning_is_read_is_left(tmp_path: Path) -> None:
    note = front("date: 14.05.2025", body="word " * 60_000)
    file = shop_with(tmp_path, "a.md", note)
    assert [left.why for left in mended(tmp_path).left] == ["the file is too large"]
    assert file.read_text() == note


def test_a8_a_link_inside_the_shop_is_written_through(tmp_path: Path) -> None:
    real = shop_with(tmp_path, "store/a.text", front("date: 14.05.2025"))
    link = tmp_path / "kb" / "a.md"
    link.symlink_to(real)
    assert mended(tmp_path).done
    assert link.is_symlink() and "2025-05-14" in real.read_text()
