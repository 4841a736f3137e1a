"""Large shops for the benchmarks: notes mixed from real work orders, and their indexes, kept."""

from __future__ import annotations

import json
import os
import random
import shutil
import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from tests import opendata
from tests.benchmarks.measuring import REPOSITORY, seconds

from benchlore.index.build import build
from benchlore.index.manifest import SCHEMA
from benchlore.index.progress import Progress
from benchlore.shop import NOTE_FOLDERS, SETTINGS_FILE, Shop, find_shop

SEED = 20250514

MAKERS = ("Halden", "Sorrel", "Ravelin", "Vendo", "Tarn")
SYSTEMS = ("hydraulics", "engine", "electrical", "cooling", "body", "hvac", "driveline")
CONDITIONS = (
    "cold", "warm", "at idle", "above 1800 rpm", "loaded", "empty", "tracking uphill", "in the wet",
    "after standing overnight", "after 20 min work", "slewing left", "slewing right", "boom raised",
    "bucket curled", "fan engaged", "lamps on", "both levers together", "on rough ground",
)  # fmt: skip
RESULTS = ("fixed", "fixed", "fixed", "improved", "not fixed")


@dataclass(frozen=True, slots=True)
class BuiltShop:
    """A shop whose index is current. `first_build`: how long that took and under which load."""

    shop: Shop
    notes: int
    passages: int
    first_build: str = ""


def quiet(progress: Progress) -> None:
    """A build that nobody watches."""


def copied_demo(folder: Path) -> Shop:
    """A copy of the repository's own shop below `folder`, without an index."""
    for name in NOTE_FOLDERS:
        shutil.copytree(REPOSITORY / name, folder / name)
    shutil.copyfile(REPOSITORY / SETTINGS_FILE, folder / SETTINGS_FILE)
    return find_shop(str(folder))


def built_shop(shop: Shop) -> BuiltShop:
    """`shop` with its index brought up to date."""
    result = build(shop, quiet)
    return BuiltShop(shop, result.notes, result.passages)


def kept_shop(count: int) -> BuiltShop:
    """A generated shop of `count` notes, kept in the data cache with its index.

    It is made the first time, which takes long. What has been encoded so far is kept, too, if that
    is interrupted, but then the time of the first build counts from the last start.
    """
    root = opendata.cache_folder() / f"shop-{count}-{SEED}-{SCHEMA}"
    written, record = root / "written", root / "first-build"
    if not written.is_file():
        shutil.rmtree(root, ignore_errors=True)
        orders = opendata.work_orders(opendata.read(opendata.WORK_ORDERS))
        write_notes(root, orders, count)
        written.touch()
    shop = find_shop(str(root))
    started = time.perf_counter()
    built = built_shop(shop)
    if not record.is_file():
        spent, load = time.perf_counter() - started, os.getloadavg()[2]
        record.write_text(f"{seconds(spent)} at load {load:.1f}", encoding="ascii")
    return replace(built, first_build=record.read_text(encoding="ascii"))


def write_notes(root: Path, orders: Sequence[opendata.WorkOrder], count: int) -> None:
    """Write `count` notes below `root / "kb"`, a folder for each hundred."""
    for number in range(count):
        folder = root / "kb" / f"{number // 100:03}"
        folder.mkdir(parents=True, exist_ok=True)
        (folder / f"{number:05}.md").write_text(note_text(orders, number), encoding="utf-8")


def note_text(orders: Sequence[opendata.WorkOrder], number: int) -> str:
    """Note `number`: about eight passages, nearly all of them unlike those of any other note."""
    dice = random.Random(f"{SEED}/{number}")
    head, *others = dice.sample(orders, 20)
    present, absent = dice.sample(CONDITIONS, 2), dice.sample(CONDITIONS, 2)
    year = int(head.date[:4])
    lines = [
        "---",
        f"case: {year}-{number:05}",
        f"date: {head.date}",
        f"machine: {{make: {dice.choice(MAKERS)}, model: Carrier {dice.randint(10, 60)}, "
        f"year: {year - dice.randint(1, 9)}, odometer: {dice.randint(200, 40_000)} h}}",
        f"symptom: {_quoted(_mixed([head, *others[:2]]))}",
        f"system: {dice.choice(SYSTEMS)}",
        f"present: [{', '.join(present)}]",
        f"absent: [{', '.join(absent)}]",
        "checks:",
    ]
    for first, second in (others[2:4], others[4:6], others[6:8]):
        lines += _check(dice, first, second)
    part = _quoted(f"{head.part or head.system or 'machine'} {dice.choice(('left', 'right'))}")
    fault = _quoted(f"{head.fault or 'worn'}, {others[8].text.lower()}")
    lines += [
        f"causes: [{{part: {part}, fault: {fault}, certainty: likely}}]",
        f"outcome: {{result: {dice.choice(RESULTS)}, after: {dice.randint(1, 20_000)} h}}",
        "---",
        "## What we did",
        ". ".join(order.text.capitalize() for order in others[9:]) + ".",
        "",
    ]
    return "\n".join(lines)


def _check(dice: random.Random, first: opendata.WorkOrder, second: opendata.WorkOrder) -> list[str]:
    value, limit = dice.randint(1, 400) / 100, dice.randint(1, 400) / 100
    return [
        f"  - check: {_quoted(first.text.lower())}",
        f"    found: {_quoted(second.text.lower())}",
        f"    value: {value} mm",
        f'    limit: "<= {limit} mm"',
        f"    minutes: {dice.randint(5, 60)}",
    ]


def _mixed(orders: Sequence[opendata.WorkOrder]) -> str:
    return ", ".join(order.text.lower().strip(" .") for order in orders)


def _quoted(text: str) -> str:
    """A double-quoted YAML scalar: JSON's escapes are YAML's."""
    return json.dumps(text, ensure_ascii=False)
