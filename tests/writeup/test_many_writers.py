"""Eight programs saving fifty cases each while two search: nothing lost, doubled or refused."""

from __future__ import annotations

import multiprocessing
from collections import Counter
from multiprocessing.queues import Queue
from multiprocessing.synchronize import Event
from pathlib import Path

from benchlore.errors import Busy
from benchlore.index.build import build
from benchlore.index.opened import open_index
from benchlore.search.engine import Engine
from benchlore.search.results import Question
from benchlore.shop import find_shop
from benchlore.writeup.casefile import save_case
from shops import ShopFolder, no_report

WRITERS, EACH, SEARCHERS = 8, 50, 2
BUILD_EVERY = 25


def _write(root: Path, writer: int, problems: Queue[str]) -> None:
    """Save cases; some have the number that another writer gives too."""
    try:
        for number in range(EACH):
            case = f"2026-{number:04d}" if number % 10 == 0 else f"2026-{writer + 1}{number:03d}"
            fields = {"case": case, "symptom": f"hums on bench {writer} number {number}"}
            save_case(root, fields, f"Told to writer w{writer}n{number}.\n")
            if number % BUILD_EVERY == writer:
                try:
                    build(find_shop(str(root)), no_report)
                except Busy:
                    continue
    except Exception as error:
        problems.put(f"writer {writer}: {error!r}")


def _search(root: Path, done: Event, problems: Queue[str]) -> None:
    try:
        while not done.is_set():
            index = open_index(find_shop(str(root)))
            Engine(index).find(Question("hums on the bench"))
            index.close()
    except Exception as error:
        problems.put(f"searcher: {error!r}")


def test_e06_eight_writers_and_two_searchers(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/first.md", "hums at first\n")
    shop_folder.build()
    root = shop_folder.root
    context = multiprocessing.get_context("spawn")
    done, problems = context.Event(), context.Queue()
    writers = [context.Process(target=_write, args=(root, n, problems)) for n in range(WRITERS)]
    searchers = [context.Process(target=_search, args=(root, done, problems))
                 for _ in range(SEARCHERS)]  # fmt: skip
    for each in (*searchers, *writers):
        each.start()
    for each in writers:
        each.join(300)
    done.set()
    for each in searchers:
        each.join(60)
    assert [each.exitcode for each in (*writers, *searchers)] == [0] * (WRITERS + SEARCHERS)
    assert problems.empty(), problems.get()
    result = build(find_shop(str(root)), no_report)
    assert result.notes == WRITERS * EACH + 1 and not result.troubles
    texts = Counter(file.read_text() for file in (root / "kb").glob("2026-*.md"))
    assert len(texts) == WRITERS * EACH and set(texts.values()) == {1}
    assert not list((root / "kb").glob(".benchlore-*"))
    engine = shop_folder.engine()
    for writer, number in ((0, 0), (3, 17), (7, 49)):
        best = engine.find(Question(f"hums on bench {writer} number {number}")).cases
        assert any(f"bench {writer} number {number}" in hit.note.symptom.text
                   for hit in best if hit.note.symptom)  # fmt: skip
    store = engine.index.store
    found = {
        stored.note.path
        for writer in range(WRITERS)
        for number in range(EACH)
        for case in ({f"2026-{number:04d}", f"2026-{writer + 1}{number:03d}"})
        for stored in store.notes_by_case(case)
    }
    assert len(found) == WRITERS * EACH
