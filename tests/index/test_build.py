"""What a build does to the index, and what it leaves alone."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from benchlore.errors import Busy, ShopError, UsageError
from benchlore.index import encoding, few_vectors, folder
from benchlore.index.build import build
from benchlore.index.manifest import read_manifest
from benchlore.index.progress import Progress
from benchlore.search.results import Question
from benchlore.shop import find_shop
from shops import ShopFolder

HUM = "---\nsymptom: Hum from the rear above 50 km/h\n---\n## Complaint\nHums like a tyre.\n"
SQUEAL = "---\nsymptom: Brakes squeal in the morning\n---\n## What we did\nPads chamfered.\n"


def found(shop: ShopFolder, text: str) -> list[str]:
    return [hit.note.path for hit in shop.engine().find(Question(text)).cases]


def fingerprint(root: Path) -> dict[str, tuple[str, int, int]]:
    """Content, mode and time of every note file."""
    return {
        str(path): (
            hashlib.sha256(path.read_bytes()).hexdigest(),
            path.stat().st_mode,
            path.stat().st_mtime_ns,
        )
        for name in ("kb", "articles")
        for path in (root / name).rglob("*")
        if path.is_file()
    }


def test_an_empty_shop_can_be_built_and_searched(shop_folder: ShopFolder) -> None:
    result = shop_folder.build()
    assert (result.notes, result.passages) == (0, 0)
    assert found(shop_folder, "hum") == []


def test_a_second_build_reads_and_encodes_nothing(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/hum.md", HUM)
    first = shop_folder.build()
    second = shop_folder.build()
    assert first.read == 1 and first.encoded > 0 and first.published
    assert (second.read, second.encoded, second.published) == (0, 0, False)


def test_only_the_changed_note_is_read_and_only_its_new_texts_encoded(
    shop_folder: ShopFolder,
) -> None:
    shop_folder.write("kb/hum.md", HUM)
    shop_folder.write("kb/squeal.md", SQUEAL)
    shop_folder.build()
    shop_folder.write("kb/hum.md", HUM + "\nBearing replaced.\n")
    result = shop_folder.build()
    assert (result.read, result.encoded) == (1, 1)


def test_a_deleted_note_is_found_no_more(shop_folder: ShopFolder) -> None:
    file = shop_folder.write("kb/hum.md", HUM)
    shop_folder.write("kb/squeal.md", SQUEAL)
    shop_folder.build()
    file.unlink()
    assert shop_folder.build().removed == 1
    assert found(shop_folder, "hum from the rear") == ["kb/squeal.md"]


def test_build_changes_no_note(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/hum.md", HUM)
    shop_folder.write("kb/broken.md", "---\nsymptom: a: b\n---\n")
    shop_folder.write("articles/a.md", "---\ntitle: Hums\n---\nText.\n")
    before = fingerprint(shop_folder.root)
    shop_folder.build()
    shop_folder.engine().find(Question("hum"))
    assert fingerprint(shop_folder.root) == before


def test_progress_names_its_stages_and_the_time_left(
    shop_folder: ShopFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(encoding, "CHUNK", 2)
    for number in range(6):
        shop_folder.write(f"kb/{number}.txt", f"noise number {number}\n")
    steps: list[Progress] = []
    build(shop_folder.shop, steps.append)
    stages = list(dict.fromkeys(step.stage for step in steps))
    assert stages[0] == "looking for changed notes"
    assert "reading passages into the sentence model" in stages
    assert stages[-1] == "putting the index in force"
    last = [step for step in steps if step.stage.startswith("reading passages")][-1]
    assert last.total == 6 and last.done == 4 and last.seconds_left is not None
    assert "4 of 6, about 1 s left" in last.in_words()


def test_a_build_while_another_one_runs_is_refused(shop_folder: ShopFolder) -> None:
    with folder.locked(shop_folder.shop.index), pytest.raises(Busy, match=r"since \d\d:\d\d"):
        shop_folder.build()
    assert shop_folder.build().published


def test_an_empty_kb_does_not_empty_the_index_unasked(shop_folder: ShopFolder) -> None:
    file = shop_folder.write("kb/hum.md", HUM)
    shop_folder.build()
    file.unlink()
    with pytest.raises(ShopError, match="the index knows 1 note: nothing removed"):
        shop_folder.build()
    result = build(shop_folder.shop, lambda progress: None, accept_empty=True)
    assert (result.notes, result.removed) == (0, 1)


def test_an_index_folder_with_other_files_is_refused(
    shop_folder: ShopFolder, tmp_path: Path
) -> None:
    strange = tmp_path / "letters"
    strange.mkdir()
    (strange / "letter.txt").write_text("dear customer")
    shop = find_shop(str(shop_folder.root), str(strange))
    with pytest.raises(UsageError, match="holds other files"):
        build(shop, lambda progress: None)
    assert [path.name for path in strange.iterdir()] == ["letter.txt"]


def test_an_index_among_the_notes_is_refused(shop_folder: ShopFolder) -> None:
    with pytest.raises(UsageError, match="lies among the notes"):
        find_shop(str(shop_folder.root), str(shop_folder.root / "kb" / "index"))


def test_only_own_files_are_swept(shop_folder: ShopFolder) -> None:
    for number in range(4):
        shop_folder.write("kb/hum.md", HUM + f"\nVisit {number}.\n")
        shop_folder.build()
    stranger = shop_folder.shop.index / "store-old.sqlite"
    stranger.write_text("somebody's")
    shop_folder.write("kb/hum.md", HUM)
    shop_folder.build()
    names = sorted(os.listdir(shop_folder.shop.index))
    stores = [name for name in names if name.startswith("store-")]
    assert stranger.name in stores
    assert len(stores) == 3, "the one in force, the one before, and the stranger"


def test_new_passages_are_found_while_the_faiss_file_is_kept(
    shop_folder: ShopFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(encoding, "STALE_SHARE", 10.0)
    monkeypatch.setattr(few_vectors, "FEW", 0)  # a shop as small as this would do without FAISS
    shop_folder.write("kb/hum.md", HUM)
    shop_folder.build()
    before = read_manifest(shop_folder.shop.index, shop_folder.shop.root)
    shop_folder.write("kb/squeal.md", SQUEAL)
    (shop_folder.root / "kb/hum.md").write_text(HUM.replace("Hums", "Groans"))
    shop_folder.build()
    after = read_manifest(shop_folder.shop.index, shop_folder.shop.root)
    assert after.vectors == before.vectors and after.store != before.store
    assert found(shop_folder, "squealing brakes")[0] == "kb/squeal.md"
    assert found(shop_folder, "groaning like a tyre")[0] == "kb/hum.md"


def test_the_faiss_file_is_made_anew_when_much_has_changed(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/hum.md", HUM)
    shop_folder.build()
    before = read_manifest(shop_folder.shop.index, shop_folder.shop.root)
    shop_folder.write("kb/squeal.md", SQUEAL)
    shop_folder.build()
    assert read_manifest(shop_folder.shop.index, shop_folder.shop.root).vectors != before.vectors


def test_two_shops_may_share_no_index(new_shop: Callable[[str], ShopFolder]) -> None:
    first, second = new_shop("first"), new_shop("second")
    first.write("kb/hum.md", HUM)
    first.build()
    second.write("kb/squeal.md", SQUEAL)
    shop = find_shop(str(second.root), str(first.root / "index"))
    result = build(shop, lambda progress: None)
    assert (result.notes, result.read, result.removed) == (1, 1, 1)
