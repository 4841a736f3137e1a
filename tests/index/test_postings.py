"""Which notes hold a word: packing, and that builds keep it up to date."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchlore.index.manifest import read_manifest
from benchlore.index.opened import open_index
from benchlore.index.postings import MOST_COUNTED, pack, unpack
from benchlore.index.store import Store
from shops import ShopFolder

HUM = "---\nsymptom: Hum from the rear wheel bearing\n---\n## Complaint\nHums, hums and hums.\n"
SQUEAL = "---\nsymptom: Brakes squeal in the morning\n---\n## What we did\nPads chamfered.\n"
KNOCK = "---\nsymptom: Knock over bumps\n---\n## What we did\nDrop link replaced, hums no more.\n"


def postings(shop: ShopFolder) -> dict[str, dict[str, int]]:
    """By word the notes that hold it, by path, and how often."""
    index = open_index(shop.shop)
    paths = {
        number: path.removesuffix(".md")
        for path in (file.path for file in index.store.files())
        for number in number_of(index.store, path)
    }
    found = {
        word: {paths[n]: c for n, c in zip(p.notes.tolist(), p.counts.tolist(), strict=True)}
        for word, p in index.store.postings(index.store.words()).items()
    }
    index.close()
    return found


def number_of(store: Store, path: str) -> list[int]:
    return [note.number for note in store.notes_by_path(path)]


@given(
    st.dictionaries(st.integers(1, 2**24 - 1), st.integers(1, 2000), max_size=50),
)
def test_what_is_packed_comes_back_in_the_order_of_the_notes(counts: dict[int, int]) -> None:
    found = unpack(pack(counts))
    assert found.notes.tolist() == sorted(counts)
    assert found.counts.tolist() == [min(counts[n], MOST_COUNTED) for n in sorted(counts)]


def test_a_number_too_large_to_pack_is_not_packed_as_another() -> None:
    with pytest.raises(OverflowError):
        pack({2**24: 1})


def test_postings_count_the_words_of_all_passages_of_a_note(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/hum.md", HUM)
    shop_folder.write("kb/squeal.md", SQUEAL)
    shop_folder.build()
    index = open_index(shop_folder.shop)
    (hum,) = number_of(index.store, "kb/hum.md")
    passages = index.store.passages_of_notes([hum])
    counts = Counter(word for passage in passages for word in passage.words.split(" "))
    found = {w: held["kb/hum"] for w, held in postings(shop_folder).items() if "kb/hum" in held}
    assert found == counts
    assert found["hum"] >= 4
    table = index.store.note_table()
    assert table.lengths[table.places(np.array([hum]))] == sum(counts.values())
    index.close()


def test_builds_one_after_the_other_leave_what_one_build_makes(
    shop_folder: ShopFolder, new_shop: Callable[[str], ShopFolder]
) -> None:
    shop_folder.write("kb/hum.md", HUM)
    gone = shop_folder.write("kb/squeal.md", SQUEAL)
    shop_folder.build()
    shop_folder.write("kb/knock.md", KNOCK)  # added
    shop_folder.build()
    shop_folder.write("kb/hum.md", HUM.replace("rear wheel bearing", "diff"))  # changed
    gone.unlink()  # removed
    shop_folder.build()
    shop_folder.write("kb/late.md", SQUEAL)  # may get the number of a note that is gone
    shop_folder.build()
    left = new_shop("afresh")
    for path in ("kb/hum.md", "kb/knock.md", "kb/late.md"):
        left.write(path, (shop_folder.root / path).read_text("utf-8"))
    left.build()
    found = postings(shop_folder)
    assert found == postings(left)
    assert "bear" not in found and set(found["squeal"]) == {"kb/late"}
    assert set(found["hum"]) == {"kb/hum", "kb/knock"}


def test_other_words_of_the_shop_have_every_note_read_again_and_nothing_encoded(
    shop_folder: ShopFolder,
) -> None:
    for name, text in (("hum", HUM), ("squeal", SQUEAL), ("knock", KNOCK)):
        shop_folder.write(f"kb/{name}.md", text)
    shop_folder.build()
    assert "vibrat" not in postings(shop_folder)
    before = read_manifest(shop_folder.shop.index, shop_folder.shop.root).vocabulary
    shop_folder.write("shop.toml", '[vocabulary]\nwords = {"chamfered" = "vibration"}\n')
    result = shop_folder.build()
    assert (result.read, result.encoded, result.published) == (3, 0, True)
    assert set(postings(shop_folder)["vibrat"]) == {"kb/squeal"}
    assert read_manifest(shop_folder.shop.index, shop_folder.shop.root).vocabulary != before
    assert not shop_folder.build().published
