"""Prints the table of benchmarks: what, budget, measured, peer."""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests import opendata
from tests.benchmarks import bench_build, bench_find, bench_live, bench_query, bench_tui
from tests.benchmarks.measuring import Row, as_markdown, load, surroundings
from tests.benchmarks.shops import SEED, BuiltShop, built_shop, copied_demo, kept_shop, write_notes

from benchlore.shop import Shop, find_shop

LARGE = 10_000


def main() -> None:
    """Measure all, or all but the large shop, and print the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="leave the 10,000 notes out")
    options = parser.parse_args()
    before = load()
    with tempfile.TemporaryDirectory() as folder:
        rows = []
        for row in all_rows(Path(folder), options.quick):
            rows.append(row)
            print(f"{row.what}: {row.measured}", file=sys.stderr)
    print(f"{surroundings()}; seed {SEED}; load over 1/5/15 minutes {before} at the start and")
    print(f"{load()} at the end (benchmarks make some).\n\n{as_markdown(rows)}")


def all_rows(folder: Path, quick: bool) -> Iterator[Row]:
    """Every row, in the order in which it is measured; what is made for it lies in `folder`."""
    export = bench_build.export_seconds(empty_shop(folder / "empty"))
    yield from demo_rows(folder / "demo", export)
    for count in (140, 1_400):
        shop = generated_shop(folder / str(count), count)
        if count == 1_400:
            yield from bench_build.full_build_rows(f"{count:,} notes", shop, export, folder)
        yield from query_rows(built_shop(shop))
    if not quick:
        yield from large_rows(kept_shop(LARGE))


def demo_rows(folder: Path, export: float) -> Iterator[Row]:
    """What is measured on the demo shop, in a copy, as notes are added to it."""
    shop = copied_demo(folder)
    peer = folder.with_name("demo-peer")
    peer.mkdir()
    yield from bench_build.full_build_rows("demo shop", shop, export, peer)
    name = f"demo shop, {built_shop(shop).notes} notes"
    yield from bench_find.rows(shop, peer)
    yield from bench_tui.rows(shop)
    yield from bench_live.rows(name, shop)
    yield from bench_build.saved_note_rows(name, shop)
    yield from bench_build.disk_rows(name, shop)


def query_rows(built: BuiltShop) -> Iterator[Row]:
    """Warm queries and size on disk of a generated shop."""
    yield from bench_query.rows(built)
    yield from bench_build.disk_rows(f"{built.notes:,} notes", built.shop)


def large_rows(built: BuiltShop) -> Iterator[Row]:
    """What is measured on the large shop, which is kept from run to run."""
    name = f"{built.notes:,} notes"
    yield Row(f"first build, {name}, when its index was made", "", built.first_build)
    yield from query_rows(built)
    yield from bench_build.unchanged_rows(name, built.shop)
    yield from bench_live.rows(name, built.shop)
    yield from bench_build.saved_note_rows(name, built.shop)


def empty_shop(folder: Path) -> Shop:
    """A shop without notes."""
    (folder / "kb").mkdir(parents=True)
    return find_shop(str(folder))


def generated_shop(folder: Path, count: int) -> Shop:
    """`count` generated notes without an index."""
    orders = opendata.work_orders(opendata.read(opendata.WORK_ORDERS))
    write_notes(folder, orders, count)
    return find_shop(str(folder))


if __name__ == "__main__":
    main()
