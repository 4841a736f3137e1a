"""Two notes with one case number, and notes that may only be read (rows C12 and A5)."""

from __future__ import annotations

import os

import faults
from benchlore.errors import WRONG_USE
from shops import ShopFolder

CASE = "---\ncase: 2025-0147\nsymptom: {}\ncauses: [{{part: hub, certainty: proved}}]\n---\nBody.\n"


def test_c12_two_notes_with_one_case_number_are_both_found_and_show_asks_which(
    shop_folder: ShopFolder,
) -> None:
    shop_folder.write("kb/first.md", CASE.format("Hum from the rear"))
    shop_folder.write("kb/2024/second.md", CASE.format("Hum from the front"))
    assert shop_folder.run("build").returncode == 0
    found = shop_folder.run("find", "hum").stdout.decode()
    assert "kb/first.md:" in found and "kb/2024/second.md:" in found
    assert "Copy:" not in found
    assert "from 2 cases" in found, "two jobs, never put together"
    for named in ("2025-0147", "0147"):
        asked = shop_folder.run("show", named)
        assert asked.returncode == WRONG_USE
        assert b"2 notes have case" in asked.stderr
        assert b"kb/2024/second.md, kb/first.md" in asked.stderr
        assert b"name the file" in asked.stderr
        assert not asked.stdout
    assert b"Hum from the front" in shop_folder.run("show", "kb/2024/second.md").stdout


def test_a05_find_and_show_work_on_read_only_notes(shop_folder: ShopFolder) -> None:
    place = shop_folder.root / "kb"
    with faults.disk("A5", place, "size=1m"):
        shop_folder.write("kb/hum.md", CASE.format("Hum from the rear"))
        shop_folder.build()
        faults.read_only("A5", place)
        assert b"kb/hum.md:" in shop_folder.run("find", "hum").stdout
        assert b"Hum from the rear" in shop_folder.run("show", "2025-0147").stdout
        done = shop_folder.run("build")
        assert done.returncode == 0, done.stderr
        assert os.listdir(place) == ["hum.md"]
