"""Faults in the shop folder, continued: many at once, vanishing, emptied, copied, deep."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import unicodedata
from collections.abc import Iterator
from pathlib import Path

import pytest

import faults
from benchlore.errors import NEEDS_A_LOOK, UNUSABLE
from benchlore.evidence.summing import sum_up
from benchlore.index import files
from benchlore.index.copies import conflict_of, copies_among
from benchlore.index.files import list_notes, read_content
from benchlore.search.results import Answer, Question
from hostile import bad_notes
from shops import ShopFolder

CASE = """---
case: {case}
symptom: Hum from the rear above 50 km/h
causes: [{{part: wheel bearing, fault: {fault}, certainty: proved}}]
---
Hums like a tyre.
"""
HUM = CASE.format(case="2025-0147", fault="pitted")
QUESTION = Question("hum from the rear above 50 km/h", limit=50)


def answer(shop: ShopFolder) -> Answer:
    return shop.engine().find(QUESTION)


def paths(found: Answer) -> list[str]:
    return [hit.note.path for hit in found.cases]


def test_b01_fifty_hostile_notes_among_a_hundred(shop_folder: ShopFolder) -> None:
    """Before a release `python -m tests.reliability` takes 10,000."""
    sound = {f"kb/{n}.md": f"# Rattle from the rear, HX{n:04}\n" for n in range(100)}
    for path, text in {**sound, **bad_notes()}.items():
        shop_folder.write(path, text)
    done = shop_folder.run("build")
    assert done.returncode == NEEDS_A_LOOK
    assert b"Traceback" not in done.stderr
    lines = [line for line in done.stderr.decode().splitlines() if line.startswith("kb/")]
    assert len(lines) == len(set(lines))
    assert {line.split(".md")[0] + ".md" for line in lines} == set(bad_notes())
    engine = shop_folder.engine()
    assert all(
        engine.find(Question(f"rattle HX{n:04}")).cases[0].note.path == f"kb/{n}.md"
        for n in range(0, 100, 20)
    )
    assert set(sound) <= set(paths(engine.find(Question("rattle", limit=300))))


def test_b06_a_file_that_vanishes_before_it_is_read(
    shop_folder: ShopFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("a", "b", "c"):
        shop_folder.write(f"kb/{name}.txt", f"hum {name}\n")
    vanishing = iter(["kb/b.txt"])
    read = files.NoteReader.read

    def late(reader: files.NoteReader, path: str) -> files.Content:
        for gone in vanishing:
            (shop_folder.root / gone).unlink()
        return read(reader, path)

    monkeypatch.setattr(files.NoteReader, "read", late)
    result = shop_folder.build()
    assert result.notes == 2
    assert not (shop_folder.root / "kb/b.txt").exists()


def test_b06_a_file_that_vanishes_after_it_was_compared_is_named(
    shop_folder: ShopFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    from benchlore.index import build

    shop_folder.write("kb/a.txt", "hum\n")
    shop_folder.write("kb/b.txt", "rattle\n")

    def late(root: Path, path: str) -> files.Content:
        if path == "kb/b.txt":
            (root / path).unlink()
        return read_content(root, path)

    monkeypatch.setattr(build, "read_content", late)
    result = shop_folder.build()
    assert result.notes == 1
    assert [trouble.path for trouble in result.troubles] == ["kb/b.txt"]


@pytest.mark.parametrize("gone", ["folder", "entry"])
def test_b06_a_folder_or_file_that_vanishes_while_it_is_listed(
    shop_folder: ShopFolder, monkeypatch: pytest.MonkeyPatch, gone: str
) -> None:
    shop_folder.write("kb/2024/a.txt", "hum\n")
    shop_folder.write("kb/b.txt", "hum\n")
    scandir = os.scandir
    bitten = []

    class Late:
        """Removes a folder before it is listed, or what it holds once it is."""

        def __init__(self, place: str) -> None:
            if gone == "folder" and place.endswith("2024"):
                (Path(place) / "a.txt").unlink()
                Path(place).rmdir()
                bitten.append(place)
            self._entries = scandir(place)
            self._place = place

        def __enter__(self) -> Iterator[os.DirEntry[str]]:
            entries = list(self._entries)
            if gone == "entry" and self._place.endswith("2024"):
                (Path(self._place) / "a.txt").unlink()
                (Path(self._place) / "a.txt").symlink_to("nowhere")
                bitten.append(self._place)
            return iter(entries)

        def __exit__(self, *_: object) -> None:
            self._entries.close()

    monkeypatch.setattr(os, "scandir", Late)
    listing = list_notes(shop_folder.root)
    monkeypatch.undo()
    assert bitten
    assert "kb/b.txt" in [found.path for found in listing.files]
    assert shop_folder.build().notes == 1


def emptied(shop: ShopFolder, how: str) -> None:
    if how == "empty":
        for file in (shop.root / "kb").iterdir():
            file.unlink()
    else:
        (shop.root / "kb").rename(shop.root / "elsewhere")


@pytest.mark.parametrize("how", ["empty", "moved"])
def test_b07_notes_that_are_all_gone_are_not_removed_unasked(
    shop_folder: ShopFolder, how: str
) -> None:
    for number in range(4):
        shop_folder.write(f"kb/{number}.txt", f"hum number {number}\n")
    shop_folder.write("articles/a.md", "# Hum\n")
    shop_folder.build()
    emptied(shop_folder, how)
    shop_folder.write("articles/b.md", "# Another hum\n")
    done = shop_folder.run("build")
    assert done.returncode == UNUSABLE
    assert b"kb/ is empty, the index knows 4 notes there: nothing removed" in done.stderr
    assert b"--accept-empty" in done.stderr
    assert len(answer(shop_folder).cases) == 4
    assert shop_folder.run("build", "--accept-empty").returncode == 0
    assert not answer(shop_folder).cases


def test_b07_a_share_that_goes_offline(shop_folder: ShopFolder) -> None:
    place = shop_folder.root / "kb"
    with faults.disk("B7", place, "size=1m"):
        shop_folder.write("kb/a.md", HUM)
        shop_folder.build()
        faults.unmount(place)
        assert not os.listdir(place), "the share is still there"
        done = shop_folder.run("build")
        assert done.returncode == UNUSABLE
        assert b"the index knows 1 note: nothing removed" in done.stderr
        assert b"kb/a.md (gone since the index was built)" in shop_folder.run("find", "hum").stdout


def test_b07_one_note_deleted_of_two_is_removed(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/a.txt", "hum\n")
    shop_folder.write("kb/b.txt", "rattle\n")
    shop_folder.build()
    (shop_folder.root / "kb/a.txt").unlink()
    assert shop_folder.build().removed == 1


CONFLICTS = [
    "2025-0147 (conflicted copy 2025-05-14).md",
    "2025-0147 (KM's conflicted copy 2025-05-14 101112).md",
    "2025-0147.sync-conflict-20250514-101112-ABCDEFG.md",
]
TEMPORARY = ["2025-0147.md~", ".2025-0147.md.swp", ".#2025-0147.md", "._2025-0147.md",
             ".syncthing.2025-0147.md.tmp", "~syncthing~2025-0147.md", "2025-0147.md.orig",
             "~$2025-0147.md", "#2025-0147.md#", ".benchlore-0123456789abcdef.tmp"]  # fmt: skip


def test_b11_conflict_copies_stand_beside_the_original_and_count_once(
    shop_folder: ShopFolder,
) -> None:
    shop_folder.write("kb/2025-0147.md", HUM)
    shop_folder.write("kb/other.md", CASE.format(case="2024-1", fault="seal let water in"))
    for number, name in enumerate(CONFLICTS):
        shop_folder.write(f"kb/{name}", f"{HUM}Written elsewhere, {number}.\n")
    shop_folder.build()
    found = answer(shop_folder)
    assert sorted(paths(found)) == ["kb/2025-0147.md", "kb/other.md"]
    hit = next(hit for hit in found.cases if hit.note.path == "kb/2025-0147.md")
    assert sorted(copy.path for copy in hit.copies) == sorted(f"kb/{name}" for name in CONFLICTS)
    assert not any(copy.same for copy in hit.copies)
    engine = shop_folder.engine()
    evidence = sum_up(engine.index.store, engine.index.shop.settings, found)
    assert sum(cause.cases for cause in evidence.causes) == 2
    shown = shop_folder.run("find", QUESTION.text).stdout.decode()
    for name in CONFLICTS:
        assert f"Copy:    kb/{name} (differs: read both)" in shown
        assert shop_folder.run("show", f"kb/{name}").returncode == 0


def test_b11_temporary_files_of_other_programs_are_not_read(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/2025-0147.md", HUM)
    for name in TEMPORARY:
        shop_folder.write(f"kb/{name}", HUM.replace("0147", "9999"))
    listing = list_notes(shop_folder.root)
    assert [found.path for found in listing.files] == ["kb/2025-0147.md"]
    assert not listing.troubles


@pytest.mark.parametrize(
    ("path", "original"),
    [
        *((f"kb/{name}", "kb/2025-0147.md") for name in CONFLICTS),
        ("kb/hum.md", ""),
        ("kb/hum (front left).md", ""),
        ("kb/conflicting torque.md", ""),
        ("kb/hum (in conflict with the manual) cured.md", ""),
        ("kb/(conflicted copy).md", ""),
        ("kb/a (conflicted copy)/hum.md", ""),
    ],
)
def test_b11_a_conflict_copy_is_told_by_its_name(path: str, original: str) -> None:
    assert conflict_of(path) == original


def test_b11_a_conflict_copy_without_its_original_is_a_case(shop_folder: ShopFolder) -> None:
    shop_folder.write(f"kb/{CONFLICTS[0]}", HUM)
    shop_folder.build()
    assert paths(answer(shop_folder)) == [f"kb/{CONFLICTS[0]}"]


TWINS = [
    (unicodedata.normalize("NFC", "Bj\u00f6rn.md"), unicodedata.normalize("NFD", "Bj\u00f6rn.md")),
    ("Case.md", "case.md"),
]


@pytest.mark.parametrize("twins", TWINS, ids=["accents", "capitals"])
def test_b12_names_that_look_alike_are_two_notes(
    shop_folder: ShopFolder, twins: tuple[str, str]
) -> None:
    for number, name in enumerate(twins):
        shop_folder.write(f"kb/{name}", CASE.format(case=f"2025-{number}", fault=f"worn {number}"))
    if len(os.listdir(shop_folder.root / "kb")) < 2:
        pytest.skip("B12: this file system takes the two names for one")
    shop_folder.build()
    assert sorted(paths(answer(shop_folder))) == sorted(f"kb/{name}" for name in twins)
    for number, name in enumerate(twins):
        shown = shop_folder.run("show", f"kb/{name}")
        assert shown.returncode == 0
        assert f"worn {number}".encode() in shown.stdout


def test_b13_a_name_that_is_not_utf8_is_found_in_every_way(shop_folder: ShopFolder) -> None:
    place = Path(os.fsdecode(os.fsencode(shop_folder.root) + b"/kb/\xff\xfe"))
    place.mkdir()
    (place / os.fsdecode(b"h\xe4.md")).write_text(HUM)
    assert shop_folder.run("build").returncode == 0
    locale = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    found = shop_folder.run("find", QUESTION.text, env=locale)
    assert found.returncode == 0, found.stderr
    assert rb"kb/\xff\xfe/h\xe4.md:" in found.stdout
    told = json.loads(shop_folder.run("find", "--json", QUESTION.text).stdout)
    assert os.fsencode(told["cases"][0]["file"]) == b"kb/\xff\xfe/h\xe4.md"
    shown = shop_folder.run("show", "2025-0147", env=locale)
    assert shown.returncode == 0, shown.stderr


@pytest.mark.parametrize("how", ["linked", "copied"])
def test_b14_a_note_in_two_files_is_one_result_and_counts_once(
    shop_folder: ShopFolder, how: str
) -> None:
    first = shop_folder.write("kb/2025-0147.md", HUM)
    second = shop_folder.root / "kb/2025-0147 again.md"
    if how == "linked":
        os.link(first, second)
        assert first.stat().st_ino == second.stat().st_ino
    else:
        shutil.copy(first, second)
    shop_folder.write("kb/other.md", CASE.format(case="2024-1", fault="seal let water in"))
    shop_folder.build()
    found = answer(shop_folder)
    assert sorted(paths(found)) == ["kb/2025-0147.md", "kb/other.md"]
    hit = next(hit for hit in found.cases if hit.note.path == "kb/2025-0147.md")
    assert [(copy.path, copy.same) for copy in hit.copies] == [("kb/2025-0147 again.md", True)]
    assert len(found.behind) == 2
    assert (
        "Copy:    kb/2025-0147 again.md (same text)"
        in shop_folder.run("find", QUESTION.text).stdout.decode()
    )
    told = json.loads(shop_folder.run("find", "--json", QUESTION.text).stdout)
    assert [{"file": "kb/2025-0147 again.md", "same": True}] in [c["copies"] for c in told["cases"]]
    assert sum(cause["cases"] for cause in told["evidence"]["causes"]) == 2
    shop_folder.write("kb/2025-0147 again.md", HUM + "Changed.\n")
    if how == "copied":  # no longer the same: a case of its own
        shop_folder.build()
        assert len(answer(shop_folder).cases) == 3


def test_b14_the_shortest_name_is_the_original() -> None:
    same = {1: ("kb/b copy.md", "d"), 2: ("kb/b.md", "d"), 3: ("kb/c.md", "e"), 4: ("kb/a.md", "d")}
    assert copies_among(same) == {1: 4, 2: 4}


def test_b17_folders_two_hundred_deep(shop_folder: ShopFolder) -> None:
    deep = "/".join(["d"] * 200)
    shop_folder.write(f"kb/{deep}/hum.md", HUM)
    assert shop_folder.build().notes == 1
    assert paths(answer(shop_folder)) == [f"kb/{deep}/hum.md"]


def test_b17_a_path_longer_than_the_system_takes_is_named(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/near.md", HUM)
    handle = os.open(shop_folder.root / "kb", os.O_RDONLY)
    try:
        for _ in range(25):  # 25 names of 200 letters: over 4,096 bytes
            os.mkdir("x" * 200, dir_fd=handle)
            below = os.open("x" * 200, os.O_RDONLY, dir_fd=handle)
            os.close(handle)
            handle = below
        os.close(os.open("far.md", os.O_WRONLY | os.O_CREAT, 0o600, dir_fd=handle))
    finally:
        os.close(handle)
    done = shop_folder.run("build")
    try:
        assert done.returncode == NEEDS_A_LOOK
        assert b"its path is longer than the system allows" in done.stderr
        assert b"Traceback" not in done.stderr
        assert paths(answer(shop_folder)) == ["kb/near.md"]
    finally:
        remove_deep(shop_folder.root / "kb")


def remove_deep(folder: Path) -> None:
    """Remove the chain of folders: longer than `shutil.rmtree` of this Python may take."""
    while (folder / ("x" * 200)).exists():
        inner = folder / ("x" * 200)
        below = inner / ("x" * 200)
        if below.exists():
            below.rename(folder / "next")
        shutil.rmtree(inner)
        if (folder / "next").exists():
            (folder / "next").rename(inner)


def test_b17_ten_thousand_notes_in_one_folder_are_listed(shop_folder: ShopFolder) -> None:
    for number in range(10_000):
        (shop_folder.root / f"kb/{number}.txt").touch()
    listing = list_notes(shop_folder.root)
    assert len(listing.files) == 10_000
    assert not listing.troubles


@pytest.mark.skipif(not shutil.which("setpriv"), reason="B5: setpriv is missing")
def test_b05_a_folder_that_lists_but_lets_nobody_in_loses_nothing(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/shut/deeper/hum.md", HUM)
    shop_folder.write("kb/open.txt", "rattle\n")
    shop_folder.build()
    shut = shop_folder.root / "kb/shut"
    shut.chmod(0o400)  # its names can be listed, what they name cannot be reached
    try:
        probe = subprocess.run(
            [*faults.WITHOUT_POWER, "ls", str(shut / "deeper")], capture_output=True, check=False
        )
        assert probe.returncode, "the fault does not bite: the folder can still be entered"
        shop_folder.write("kb/open.txt", "rattle and hum\n")
        done = subprocess.run(
            [*faults.WITHOUT_POWER, sys.executable, "-m", "benchlore",
             "--shop", str(shop_folder.root), "build"],
            capture_output=True,
            check=False,
        )  # fmt: skip
    finally:
        shut.chmod(0o700)
    assert done.returncode == NEEDS_A_LOOK
    assert b"kb/shut/deeper: not readable: no permission" in done.stderr
    assert "kb/shut/deeper/hum.md" in paths(answer(shop_folder))
