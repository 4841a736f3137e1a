"""The parts of the reliability figures: each puts faults in, and yields what came of them."""

from __future__ import annotations

import importlib.util
import re
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from tests.reliability import (
    builds,
    concurrency,
    damage,
    fuzzing,
    injecting,
    kills,
    refusals,
    saving,
)

import test_fault_matrix as matrix
from benchlore.index import model_files
from benchlore.index.build import build
from benchlore.search.results import Question
from benchlore.shop import Shop, find_shop
from hostile import bad_notes
from shops import REPOSITORY, ShopFolder, no_report


@dataclass(frozen=True, slots=True)
class Sizes:
    """How much is tried of each part; None: all there is."""

    random_kills: int
    refused_first: int | None
    lasting: tuple[bool, ...]
    build_points: int | None
    build_errors: tuple[str, ...]
    note_files: int
    atheris_runs: int
    sentences: int
    round_trips: int
    harmed_indexes: int
    harmed_models: int
    rounds: int
    searches: int
    notes: int


@dataclass(frozen=True, slots=True)
class Figure:
    """One row of the table; `tried` is None where it was left out, and `seen` says why."""

    what: str
    tried: int | None
    wrong: int
    seen: str = ""
    told: tuple[str, ...] = ()


def _seen(counts: Counter[str]) -> str:
    shown = ((n, c) for n, c in sorted(counts.items()) if n not in ("tried", "wrong") and c)
    return ", ".join(f"{count} {name}" for name, count in shown)


def kills_of_saves(place: Path, sizes: Sizes, seed: int) -> Iterator[Figure]:
    for kind in saving.KINDS:
        if injecting.can_trace():
            counts = kills.at_every_call(kind, place)
            missed = counts["points"] - counts["bitten"]
            wrong = kills.harmed(kind, counts) + missed
            what = f"save ({kind}) killed at every system call"
            yield Figure(what, counts["points"], wrong, _seen(counts))
        else:
            yield Figure("save killed at every system call", None, 0, "no strace")
        counts = kills.at_every_line(kind, place)
        wrong = kills.harmed(kind, counts)
        yield Figure(f"save ({kind}) killed at every line", counts["points"], wrong, _seen(counts))
        times = sizes.random_kills // len(saving.KINDS)
        counts = kills.at_random(kind, place, times, seed)
        wrong = kills.harmed(kind, counts)
        yield Figure(f"save ({kind}) killed at random", counts["killed"], wrong, _seen(counts))


def refused_saves(place: Path, sizes: Sizes, seed: int) -> Iterator[Figure]:
    if not injecting.can_trace():
        yield Figure("save, errors x calls", None, 0, "no strace")
        return
    done = list(refusals.refusals(place, sizes.refused_first, sizes.lasting))
    told = tuple(f"{each.where}: {wrong}" for each in done if (wrong := refusals.wrong(each)))
    counts = refusals.counted(done)
    yield Figure("save, errors x calls", counts["tried"], counts["wrong"], _seen(counts), told)


def harmed_builds(place: Path, sizes: Sizes, seed: int) -> Iterator[Figure]:
    if not injecting.can_trace():
        yield Figure("build of 30 notes killed, refused", None, 0, "no strace")
        return
    shop = builds.BuildUnderTest(place, _model(place))
    points = shop.points()
    if sizes.build_points is not None:
        points = builds.sample(points, sizes.build_points)
    counts, told = builds.counted(shop.kills(points))
    what = "build of 30 notes killed at system calls on the index"
    yield Figure(what, counts["tried"], counts["wrong"], _seen(counts), tuple(told))
    for lasting in sizes.lasting:
        counts, told = builds.counted(shop.refusals(points, sizes.build_errors, lasting))
        what = f"build, errors x calls, {'lasting' if lasting else 'once'}"
        yield Figure(what, counts["tried"], counts["wrong"], _seen(counts), tuple(told))


def readers(place: Path, sizes: Sizes, seed: int) -> Iterator[Figure]:
    yield _fuzzed("note reader, files of fragments", fuzzing.notes(sizes.note_files, seed))
    if sizes.atheris_runs:
        yield _atheris(sizes.atheris_runs, seed)
    yield _fuzzed("condition reader, sentences", fuzzing.conditions(sizes.sentences, seed))
    files = [file for name in ("kb", "articles") for file in (REPOSITORY / name).rglob("*.md")]
    done = fuzzing.round_trips(sorted(files), sizes.round_trips, seed)
    yield _fuzzed(f"round trip, {len(files)} shipped notes and made ones", done)


def _fuzzed(what: str, done: fuzzing.Fuzzed) -> Figure:
    wrong = done.wrong + done.counts["slow"]
    seen = f"{_seen(done.counts)}; slowest {done.slowest:.3f} s"
    return Figure(what, done.counts["tried"], wrong, seen, tuple(done.crashers))


def _atheris(runs: int, seed: int) -> Figure:
    what = "note reader, atheris"
    if importlib.util.find_spec("atheris") is None:
        return Figure(what, None, 0, "no atheris: pip install atheris")
    done = subprocess.run(
        [sys.executable, "-m", "tests.reliability.atheris_notes", f"-runs={runs}", f"-seed={seed}"],
        capture_output=True,
        text=True,
        errors="replace",
        check=False,
    )
    ran = re.search(r"Done (\d+) runs", done.stderr)
    told = () if done.returncode == 0 else tuple(done.stderr.splitlines()[-30:])
    return Figure(what, int(ran[1]) if ran else 0, int(done.returncode != 0), "", told)


def damaged_files(place: Path, sizes: Sizes, seed: int) -> Iterator[Figure]:
    model = _model(place)
    shop, other = (_small_shop(place / name, model, name) for name in ("one", "other"))
    question = Question("noise from the rear axle")
    counts = damage.harmed_indexes(shop, other, question, sizes.harmed_indexes, seed)
    yield Figure("index files damaged", counts["tried"], counts["wrong"], _seen(counts))
    copy = place / "weights"
    shutil.copytree(model_files._packaged_folder(), copy)
    sha256 = model_files.PACKAGED_SHA256
    counts = damage.harmed_models(copy, sha256, sizes.harmed_models, seed)
    yield Figure("model damaged", counts["tried"], counts["wrong"], _seen(counts))


def at_once(place: Path, sizes: Sizes, seed: int) -> Iterator[Figure]:
    root = _small_shop(place / "shop", _model(place), "axle").root
    counts = concurrency.builds_at_once(root, sizes.rounds)
    what = f"{concurrency.AT_ONCE} builds at once, rounds"
    yield Figure(what, counts["tried"], counts["wrong"], _seen(counts))
    counts = concurrency.searches_during_builds(root, sizes.searches)
    yield Figure("searches during builds", counts["tried"], counts["wrong"], _seen(counts))


def hostile_shop(place: Path, sizes: Sizes, seed: int) -> Iterator[Figure]:
    """Row B1 in its full size: the sound notes are all found, the bad ones each named."""
    bad = bad_notes()
    folder = ShopFolder(place / "shop", _model(place))
    for number in range(sizes.notes - len(bad)):
        folder.write(f"kb/{number}.md", f"# Rattle from the rear, HX{number:05}\n")
    for path, data in bad.items():
        folder.write(path, data)
    done = folder.run("build")
    lines = done.stderr.decode().splitlines()
    named = {line.split(".md")[0] + ".md" for line in lines if line.startswith("kb/")}
    wrong = int(done.returncode != 3) + len(named ^ set(bad))
    engine = folder.engine()
    sound = range(0, sizes.notes - len(bad), max(1, sizes.notes // 500))
    for number in sound:
        found = engine.find(Question(f"rattle HX{number:05}", limit=1)).cases
        wrong += not found or found[0].note.path != f"kb/{number}.md"
    seen = f"{len(named)} named, {len(sound)} of the others asked for"
    yield Figure("notes in a shop, 50 of them hostile", sizes.notes, wrong, seen)


def rows(place: Path, sizes: Sizes, seed: int) -> Iterator[Figure]:
    tested = {row for _, name in matrix.all_tests() for row in matrix.named_rows(name)}
    missing = sorted(set(matrix.ROWS) - tested)
    seen = f"without one: {', '.join(missing)}" if missing else ""
    yield Figure("rows of the fault table with a test", len(matrix.ROWS), len(missing), seen)


PARTS: dict[str, Callable[[Path, Sizes, int], Iterable[Figure]]] = {
    "rows": rows,
    "kills": kills_of_saves,
    "refused": refused_saves,
    "readers": readers,
    "damage": damaged_files,
    "builds": harmed_builds,
    "at once": at_once,
    "hostile": hostile_shop,
}
"""The parts by name, the quick ones first."""


def _model(place: Path) -> Path:
    """An index folder with the exported encoder, made once for all parts."""
    kept = place.parent / "model"
    if not kept.exists():
        (kept / "kb").mkdir(parents=True)
        build(find_shop(str(kept)), no_report)
    return kept / "index"


def _small_shop(root: Path, model: Path, word: str) -> Shop:
    folder = ShopFolder(root, model)
    for number in range(5):
        folder.write(f"kb/{word}-{number}.txt", f"noise {word} {number} from the rear axle\n")
    folder.build()
    return folder.shop
