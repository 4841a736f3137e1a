"""Building: the whole shop, nothing changed, one saved note; and what the index takes on disk."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests import opendata
from tests.benchmarks.measuring import (
    RUNS,
    Failed,
    Row,
    median,
    run,
    seconds,
    timed,
)
from tests.benchmarks.shops import note_text, quiet

from benchlore.index.build import build
from benchlore.index.manifest import read_manifest
from benchlore.index.model_files import verified_model
from benchlore.index.opened import open_index
from benchlore.index.store import Store
from benchlore.search.engine import Engine
from benchlore.search.results import Question
from benchlore.shop import Settings, Shop

FIRST_NEW = 900_000
"""Numbers of the notes that are added, beyond those of any generated shop."""


def build_once(shop: Shop) -> float:
    """Seconds of one `benchlore build` as a whole process."""
    return run(
        "-m", "benchlore", "--shop", str(shop.root), "--index", str(shop.index), "build"
    ).seconds


def full_build_rows(name: str, shop: Shop, export: float, peer_folder: Path) -> list[Row]:
    """Build `shop`, whose index is empty, and encode the same passages the plain way.

    `export` is what making the encoder takes, seconds; it is in every first build.
    """
    total = build_once(shop)
    bare, passages = bare_encode(shop, peer_folder)
    return [
        Row(
            f"first build, whole process, {name} ({passages:,} passages), of which "
            f"{seconds(export)} to make the encoder, once for each model",
            f"{seconds(1.15 * bare)} (1.15 x)",
            f"{seconds(total)} ({total / bare:.2f} x)",
            f"bare `encode` {seconds(bare)}",
        ),
        Row(
            "the same without making the encoder",
            "",
            f"{seconds(total - export)} ({(total - export) / bare:.2f} x)",
        ),
    ]


def export_seconds(empty: Shop) -> float:
    """A first build of a shop without notes: nearly all of it makes the encoder."""
    return build_once(empty)


def bare_encode(shop: Shop, folder: Path) -> tuple[float, int]:
    """Seconds of sentence-transformers' `encode` over the passages of `shop`, and their number."""
    manifest = read_manifest(shop.index, shop.root)
    model = str(verified_model(Settings()).folder)
    script = str(Path(__file__).with_name("peer_build.py"))
    done = run(script, model, str(shop.index / manifest.store.file), str(folder))
    table = json.loads(done.output.strip().splitlines()[-1])
    return float(table["seconds"]), int(table["texts"])


def unchanged_rows(name: str, shop: Shop) -> list[Row]:
    """`benchlore build` when nothing has changed."""
    spent = median(build_once(shop) for _ in range(RUNS))
    return [Row(f"build with nothing changed, whole process, {name}", "1.00 s", seconds(spent))]


def saved_note_rows(name: str, shop: Shop) -> list[Row]:
    """From a saved note to the answer that holds it, for a program started after it was saved:
    build, open, find, in one process."""
    with added_notes(shop) as notes:
        spent = [timed(lambda text=text: find_new(shop, text)) for text in notes]
    return [
        Row(
            f"one saved note until another start finds it, {name} (build, open, find)",
            "",
            seconds(median(spent)),
        )
    ]


@contextmanager
def added_notes(shop: Shop) -> Iterator[Iterator[str]]:
    """Yields notes one by one; each is in the shop when it comes. All are removed afterwards."""
    orders = opendata.work_orders(opendata.read(opendata.WORK_ORDERS))
    folder = shop.root / "kb" / "added"
    shutil.rmtree(folder, ignore_errors=True)  # left behind by a run that was killed
    folder.mkdir()

    def add() -> Iterator[str]:
        for number in range(FIRST_NEW, FIRST_NEW + RUNS):
            text = note_text(orders, number)
            (folder / f"{number}.md").write_text(text, encoding="utf-8")
            yield text

    try:
        yield add()
    finally:
        shutil.rmtree(folder)
        build(shop, quiet)


def find_new(shop: Shop, text: str) -> None:
    """Bring the index up to date and ask for the note just saved, by its symptom."""
    build(shop, quiet)
    index = open_index(shop)
    symptom = next(line for line in text.splitlines() if line.startswith("symptom:"))
    answer = Engine(index).find(Question(symptom.removeprefix("symptom:")))
    case = text.splitlines()[1].removeprefix("case: ")
    index.close()
    if case not in [hit.note.case for hit in answer.cases]:
        raise Failed(f"the note just saved was not found: {case}")


def disk_rows(name: str, shop: Shop) -> list[Row]:
    """Bytes of store and vectors for each passage; the encoder is the model's size."""
    manifest = read_manifest(shop.index, shop.root)
    with Store(shop.index / manifest.store.file) as store:
        passages = store.passage_count()
    vectors = manifest.vectors.size if manifest.vectors else 0
    return [
        Row(
            f"index on disk for each passage, {name}",
            "3.00 kB",
            f"{(manifest.store.size + vectors) / passages / 1000:.2f} kB",
        )
    ]
