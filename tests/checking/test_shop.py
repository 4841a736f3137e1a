"""A whole shop: what is wrong between notes, and beside them."""

from __future__ import annotations

import os
import sys
import unicodedata
from pathlib import Path

import pytest

from benchlore.checking.chosen import Chosen
from benchlore.checking.model import Finding
from benchlore.checking.shop_checks import Checked, check_shop
from benchlore.shop import find_shop
from checking.notes import TODAY, front
from shops import REPOSITORY, no_report, run_benchlore


class Bare:
    """A shop folder without an index."""

    def __init__(self, root: Path) -> None:
        self.root = root
        (root / "kb").mkdir(parents=True)

    def write(self, path: str, text: str | bytes = "Hums.\n") -> Path:
        file = self.root / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(text.encode() if isinstance(text, str) else text)
        return file

    def checked(self, *only: str) -> Checked:
        return check_shop(find_shop(str(self.root)), TODAY, no_report, Chosen(only))

    def found(self, kind: str) -> list[Finding]:
        return [finding for finding in self.checked().findings if finding.kind == kind]


@pytest.fixture
def bare(tmp_path: Path) -> Bare:
    return Bare(tmp_path / "shop")


def test_the_demo_shop_has_nothing_to_mend() -> None:
    """Its faults were mended; what a rule says of sound notes is a false alarm."""
    checked = check_shop(find_shop(str(REPOSITORY)), TODAY, no_report)
    assert [finding.in_words() for finding in checked.findings] == []
    assert checked.notes >= 197
    assert not checked.copied


def test_c12_two_notes_with_one_number_are_both_named_with_each_other(bare: Bare) -> None:
    bare.write("kb/a.md", front("symptom: hums", "case: 2025-0147"))
    bare.write("kb/b.md", front("case: ' 2025-0147 '", body="Other."))
    bare.write("kb/2025-0147.txt", "No front matter at all.\n")
    bare.write("kb/2025-0148.md", front("case: 2025-0148"))
    found = bare.found("case")
    assert [(f.path, f.line) for f in found] == [
        ("kb/2025-0147.txt", 0), ("kb/a.md", 3), ("kb/b.md", 2),
    ]  # fmt: skip
    assert "kb/b.md" in found[1].what and "kb/2025-0147.txt" in found[1].what
    assert "kb/a.md" not in found[1].what


def test_c12_files_of_one_name_that_state_no_number_are_no_duplicates(bare: Bare) -> None:
    bare.write("kb/x/notes.md", "One.\n")
    bare.write("kb/y/notes.md", "Two.\n")
    assert bare.found("case") == []


def test_c12_a_number_elsewhere_is_seen_when_only_one_note_is_asked_for(bare: Bare) -> None:
    bare.write("kb/a.md", front("case: 7", body="One."))
    bare.write("kb/b.md", front("case: 7", "date: 2099-01-01"))
    checked = bare.checked("kb/a.md")
    assert [(f.path, f.kind) for f in checked.findings] == [("kb/a.md", "case")]
    assert checked.notes == 1


def test_b14_a_copied_note_is_one_finding_and_counts_once(bare: Bare) -> None:
    text = front("case: 7", "date: 2099-01-01")
    bare.write("kb/a.md", text)
    bare.write("kb/b.md", text)
    checked = bare.checked()
    assert [(f.path, f.kind) for f in checked.findings] == [
        ("kb/a.md", "date"),
        ("kb/b.md", "copy"),
    ]
    assert "byte for byte, as kb/a.md" in checked.findings[1].what
    assert checked.copied == {"kb/a.md"}


def test_b14_a_hard_link_is_told_from_a_copy(bare: Bare) -> None:
    os.link(bare.write("kb/a.md"), bare.root / "kb/b.md")
    assert [f.what for f in bare.found("copy")] == ["the same file as kb/a.md"]


def test_b14_empty_notes_are_no_copies_of_each_other(bare: Bare) -> None:
    bare.write("kb/a.md", "")
    bare.write("kb/b.md", "")
    assert bare.found("copy") == []


@pytest.mark.parametrize(
    "name",
    [
        "a.sync-conflict-20250514-101112-ABCDEFG.md",
        "a (conflicted copy 2025-05-14).md",
        "a (KM's conflicted copy 2025-05-14).md",
        "a (1).md", "a - Copy.md", "a.orig.md",
    ],
)  # fmt: skip
def test_b11_conflict_copies_are_named_beside_their_original(bare: Bare, name: str) -> None:
    bare.write("kb/a.md", front("case: 7", body="One."))
    bare.write(f"kb/{name}", front("case: 7", "date: 2099-01-01", body="Two."))
    checked = bare.checked()
    assert [(f.path, f.kind) for f in checked.findings] == [(f"kb/{name}", "copy")]
    assert "kb/a.md" in checked.findings[0].what


def test_b11_a_conflict_copy_without_its_original_is_looked_at(bare: Bare) -> None:
    name = "kb/a.sync-conflict-20250514-101112-ABCDEFG.md"
    bare.write(name, front("date: 2099-01-01"))
    assert {f.kind for f in bare.checked().findings} == {"copy", "date"}
    bare.write("kb/loader (2).md", "A second loader.\n")
    assert not [f for f in bare.checked().findings if "loader" in f.path]


@pytest.mark.parametrize(
    "name",
    ["a.md~", "a.md.orig", "a.md.bak", ".a.md.swp", ".#a.md", ".syncthing.a.md.tmp",
     "~syncthing~a.md.tmp"],
)  # fmt: skip
def test_b11_what_editors_and_sync_leave_is_named_and_not_read(bare: Bare, name: str) -> None:
    bare.write("kb/a.md")
    bare.write(f"kb/{name}", front("date: 2099-01-01"))
    checked = bare.checked()
    assert [(f.path, f.kind) for f in checked.findings] == [(f"kb/{name}", "copy")]
    assert "beside kb/a.md" in checked.findings[0].what
    assert checked.notes == 1


def test_b11_shadow_files_are_named_once_for_a_folder(bare: Bare) -> None:
    for letter in "abc":
        bare.write(f"kb/{letter}.md", letter)
        bare.write(f"kb/._{letter}.md", b"\0\5\x16\7")
    assert [(f.path, f.what[:7]) for f in bare.found("copy")] == [("kb", "3 files")]


def test_b12_names_that_not_every_system_tells_apart_are_named(bare: Bare) -> None:
    accents = [unicodedata.normalize(form, "kb/stra\xdfe caf\xe9.md") for form in ("NFC", "NFD")]
    for number, path in enumerate([*accents, "kb/Case.md", "kb/case.md", "kb/other.md"]):
        bare.write(path, f"Note {number}.\n")
    found = {f.path: f.what for f in bare.found("name")}
    assert set(found) == {*accents, "kb/Case.md", "kb/case.md"}
    assert "kb/case.md only in capitals" in found["kb/Case.md"]
    assert "accents" in found[accents[0]]


def test_b12_a_link_to_either_of_two_twins_is_whole(bare: Bare) -> None:
    bare.write("kb/Case.md", "One.\n")
    bare.write("kb/case.md", "Two.\n")
    bare.write("kb/a.md", "[one](Case.md) and [two](case.md)\n")
    assert bare.found("link") == []


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="B13: names are UTF-8 there")
def test_b13_a_name_that_is_not_utf8_is_named_all_the_same(bare: Bare) -> None:
    folder = os.fsencode(bare.root / "kb")
    with open(os.path.join(folder, b"\xff.md"), "wb") as file:
        file.write(b"ring +44 7700 900123\n")
    assert [(f.path, f.line) for f in bare.found("personal")] == [("kb/\udcff.md", 1)]
    done = run_benchlore("--shop", str(bare.root), "check", env={"LC_ALL": "C", "PYTHONUTF8": "0"})
    assert done.returncode == 1 and b"kb/\\xff.md:1:6: a telephone number" in done.stdout
    done = run_benchlore("--shop", str(bare.root), "check", "--fix", "--json")
    assert done.returncode == 0 and b'"new": "[taken out]"' in done.stdout


def test_b10_a_file_from_the_future_is_named(bare: Bare) -> None:
    file = bare.write("kb/a.md")
    assert bare.found("date") == []
    os.utime(file, (4_000_000_000, 4_000_000_000))
    assert [f.path for f in bare.found("date")] == ["kb/a.md"]


def test_broken_links_in_see_and_body(bare: Bare) -> None:
    bare.write("kb/b.md", front("case: 7"))
    bare.write("articles/hum.md")
    bare.write("kb/2019-0098-hum.md", "Old note.\n")
    bare.write(
        "kb/a.md",
        front(
            "case: 8",
            "see: [7, 9, articles/hum.md, articles/gone.md, ../../etc/x.md, 2019-0098]",
            body="[right](b.md) [far](https://example.org/x.md) [wrong](c.md)\n\n"
            "![photo](p.jpg) [here](#x) [out](../../secret.md)\n\n[ref]: B.md\n",
        ),
    )
    found = {(f.line, f.what): f.todo for f in bare.found("link") + bare.found("file")}
    assert {(line, what) for line, what in found} == {
        (3, "no note has the case number '9'"),
        (3, "there is no note articles/gone.md"),
        (3, "'../../etc/x.md': leads outside the shop folder"),
        (3, "no note has the case number '2019-0098'"),
        (5, "there is no note kb/c.md"),
        (7, "there is no file kb/p.jpg"),
        (7, "'../../secret.md': leads outside the shop folder"),
        (9, "'B.md' is written otherwise than the file kb/b.md"),
    }
    assert "kb/2019-0098-hum.md" in found[3, "no note has the case number '2019-0098'"]


def test_b03_attachments_are_there_and_inside_the_shop(bare: Bare, tmp_path: Path) -> None:
    (tmp_path / "secret.jpg").write_bytes(b"x")
    bare.write("kb/2025/hub.jpg", b"x")
    (bare.root / "kb/2025/link.jpg").symlink_to(tmp_path / "secret.jpg")
    named = ["hub.jpg", "../2025/hub.jpg", "gone.jpg", "../../../secret.jpg", "link.jpg",
             "/etc/passwd", "C:/x.jpg"]  # fmt: skip
    bare.write("kb/2025/a.md", front("files:", *(f"  - '{name}'" for name in named)))
    assert [(f.line, f.what) for f in bare.found("file")] == [
        (5, "there is no file kb/2025/gone.jpg"),
        (6, "'../../../secret.jpg' leads outside the shop folder"),
        (7, "'link.jpg' leads outside the shop folder"),
        (8, "'/etc/passwd' leads outside the shop folder"),
        (9, "'C:/x.jpg' leads outside the shop folder"),
    ]


def test_c1_what_cannot_be_read_is_among_the_findings(bare: Bare) -> None:
    bare.write("kb/a.md", os.urandom(4096))
    (bare.root / "kb/b.md").symlink_to("/etc/passwd")
    assert [(f.path, f.what) for f in bare.found("reading")] == [
        ("kb/a.md", "not text"), ("kb/b.md", "leads outside the shop folder"),
    ]  # fmt: skip


def test_findings_are_sorted_by_file_line_and_column(bare: Bare) -> None:
    bare.write("kb/b.md", front("codes: [X0301, P030]", "date: 2099-01-01"))
    bare.write("kb/a.md", "Ring +44 7700 900123 or +44 7700 900456.\n")
    places = [(f.path, f.line, f.column) for f in bare.checked().findings]
    assert places == sorted(places) and len(places) == 5
