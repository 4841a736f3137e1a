"""The reliability figures in the sizes that each run of the suite can pay for.

`python -m tests.reliability` takes the same parts to the sizes of a release.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

from tests.reliability import builds, damage, fuzzing

import faults
from benchlore.errors import NOT_WRITTEN
from benchlore.search.results import Question
from shops import REPOSITORY, ShopFolder

SEED = 20250514


def test_twenty_thousand_files_of_fragments_are_read() -> None:
    done = fuzzing.notes(20_000, SEED)
    assert done.counts["tried"] == 20_000
    assert done.counts["read"] > 15_000, "most get as far as the reader"
    assert not done.wrong, done.crashers
    assert not done.counts["slow"], done.slowest


def test_two_thousand_sentences_are_read() -> None:
    done = fuzzing.conditions(2_000, SEED)
    assert done.counts["read"] > 500, "many say when it shows"
    assert not done.wrong, done.crashers
    assert not done.counts["slow"], done.slowest


def test_shipped_and_made_notes_are_written_back_as_they_were() -> None:
    files = [file for name in ("kb", "articles") for file in (REPOSITORY / name).rglob("*.md")]
    done = fuzzing.round_trips(sorted(files), 300, SEED)
    assert done.counts["same bytes"] > 250 + len(files)
    assert not done.wrong, done.crashers


def test_a_reader_that_fails_is_counted() -> None:
    def failing() -> str:
        raise RecursionError("too deep")

    done = fuzzing.Fuzzed()
    done.run("text", failing)
    assert done.wrong == 1
    assert done.crashers == ["'text': RecursionError: too deep"]


def test_e02_files_mixed_truncated_flipped_and_zeroed_at_random(
    new_shop: Callable[[str], ShopFolder],
) -> None:
    shop, other = new_shop("one"), new_shop("other")
    for number in range(3):
        shop.write(f"kb/{number}.txt", f"noise {number} from the rear axle\n")
        other.write(f"kb/{number}.txt", f"rattle {number} from the front axle\n")
    shop.build()
    other.build()
    counts = damage.harmed_indexes(shop.shop, other.shop, Question("noise"), 60, SEED)
    assert counts["tried"] == 60
    assert counts["refused"] > 45
    assert not counts["wrong"]


def test_e05_a_disk_that_is_full_leaves_the_index_before(
    shop_folder: ShopFolder, tmp_path: Path
) -> None:
    place = tmp_path / "small"
    shop_folder.write("kb/hum.txt", "hum from the rear\n")
    shop_folder.build()
    held = sum(file.stat().st_size for file in shop_folder.shop.index.iterdir())
    with faults.disk("E5", place, f"size={held + 200_000}"):
        index = place / "index"
        shutil.copytree(shop_folder.shop.index, index)
        shop_folder.write("kb/noise.txt", "noise from the axle\n")
        faults.fill(place)
        done = shop_folder.run("--index", str(index), "build")
        assert done.returncode == NOT_WRITTEN, done.stderr
        assert b"disk full; the index needs about" in done.stderr
        assert b"the index before it is in force" in done.stderr
        assert b"Traceback" not in done.stderr
        found = shop_folder.run("--index", str(index), "find", "hum")
        assert found.returncode == 0 and b"kb/hum.txt" in found.stdout
    assert shop_folder.run("build").returncode == 0


@faults.needs_strace("E5")
def test_e05_calls_of_a_build_that_are_refused(tmp_path: Path, exported_model: Path) -> None:
    shop = builds.BuildUnderTest(tmp_path, exported_model)
    points = [p for p in builds.sample(shop.points(), 1) if p.call in ("fsync", "rename")]
    assert len(points) == 2
    outcomes = list(shop.refusals(points, ["ENOSPC"]))
    assert [outcome.wrong for outcome in outcomes] == ["", ""]
    assert {outcome.ended.code for outcome in outcomes} == {NOT_WRITTEN}
