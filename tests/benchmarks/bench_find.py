"""`benchlore find` as a whole process, beside the obvious script over the same passages."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from tests.benchmarks.measuring import (
    QUESTIONS,
    RUNS,
    Ran,
    Row,
    median,
    megabytes,
    run,
    seconds,
)

from benchlore.index.model_files import verified_model
from benchlore.shop import Settings, Shop

PEER_RUNS = 5
"""Each takes seconds, and they differ by less than the factor that matters."""


def rows(shop: Shop, peer_folder: Path) -> list[Row]:
    """Measure over `shop`; `peer_folder` holds what `peer_build` wrote of it."""
    command = ("-m", "benchlore", "--shop", str(shop.root), "--index", str(shop.index), "find")
    ours = _runs(RUNS, lambda question: run(*command, question))
    model = str(verified_model(Settings()).folder)
    script = str(Path(__file__).with_name("peer_find.py"))
    peer = _runs(PEER_RUNS, lambda question: run(script, model, str(peer_folder), question))
    time, peer_time = (median(each.seconds for each in runs) for runs in (ours, peer))
    peak, peer_peak = (median(each.peak for each in runs) for runs in (ours, peer))
    return [
        Row(
            f"`benchlore find`, whole process (peer / ours: {peer_time / time:.1f})",
            "0.8 s",
            seconds(time),
            f"obvious script {seconds(peer_time)}",
        ),
        Row("the same: peak memory", "350 MB", megabytes(peak), megabytes(peer_peak)),
    ]


def _runs(count: int, ask: Callable[[str], Ran]) -> list[Ran]:
    ask(QUESTIONS[0])  # so that every file has been read once
    return [ask(QUESTIONS[turn % len(QUESTIONS)]) for turn in range(count)]
