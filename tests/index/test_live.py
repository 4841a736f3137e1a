"""Notes brought into an open index: found at once, ranked as a build would rank them."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from tests.benchmarks import measuring

from benchlore.index import live
from benchlore.index.build import build
from benchlore.index.changed_store import ChangedStore
from benchlore.index.encoded import EncodedSoFar
from benchlore.index.folder import ENCODED
from benchlore.index.live import LiveNotes
from benchlore.index.opened import OpenIndex, open_index
from benchlore.index.store import Store
from benchlore.index.store_notes import NAMED
from benchlore.index.stored import Filters
from benchlore.index.writing import text_hash
from benchlore.search.engine import Engine
from benchlore.search.results import Question
from benchlore.shop import Shop, find_shop
from shops import REPOSITORY, ShopFolder, no_report

QUESTIONS = (
    *measuring.QUESTIONS,
    "warbles from the left rear above 45 mph, wheel bearing 0.14 mm",
    "gearbox whine only in third, goes in neutral",
    "antifreze smell after a long run",
)

NEW = """---
case: 2026-9001
date: 2026-03-02
machine: {make: Halden, model: Carrier 35, year: 2019, engine: HD22, odometer: 142300 km}
symptom: Warbles from the left rear above 45 mph, worse in right-handers
system: wheels
present: [above 45 mph, turning right]
absent: [turning left]
codes: [C1234]
checks:
  - {check: wheel bearing axial play left rear, value: 0.14 mm, limit: "<= 0.05 mm"}
causes: [{part: wheel bearing left rear, fault: raceway pitted, certainty: proved}]
outcome: {result: fixed, date: 2026-03-05}
---
The zorbing noise went with a new bearing.
"""


@pytest.fixture(scope="module")
def demo_shop(tmp_path_factory: pytest.TempPathFactory, demo: Engine) -> ShopFolder:
    """A copy of the demo shop, to be changed at will, with its index."""
    folder = ShopFolder(tmp_path_factory.mktemp("live") / "shop", demo.index.shop.index)
    for name in ("kb", "articles"):
        shutil.rmtree(folder.root / name)
        shutil.copytree(REPOSITORY / name, folder.root / name)
    shutil.copyfile(REPOSITORY / "shop.toml", folder.root / "shop.toml")
    folder.build()
    return folder


@pytest.fixture(scope="module")
def both(
    demo_shop: ShopFolder, tmp_path_factory: pytest.TempPathFactory, exported_model: Path
) -> tuple[Engine, Engine]:
    """BroughtIn notes brought in live, and an index made of the same notes from nothing."""
    engine = Engine(opened(demo_shop.shop))
    engine.find(Question(QUESTIONS[0]))
    notes = LiveNotes()
    for changed in changes(demo_shop.root):
        index, done = notes.bring_in(engine.index, changed, certain=True)
        assert done.count == len(changed) and not done.troubles
        engine = engine.changed(index)
    scratch = tmp_path_factory.mktemp("scratch") / "index"
    shutil.copytree(exported_model, scratch)
    shop = find_shop(str(demo_shop.root), str(scratch))
    # Encoded in other batches, a text's vector differs by rounding: that is another test's matter.
    so_far = EncodedSoFar(scratch / ENCODED, engine.index.manifest.model_sha256)
    so_far.put(vectors_of(engine.index.store))
    so_far.close()
    assert build(shop, no_report).encoded == 0
    return engine, Engine(open_index(shop))


def vectors_of(store: Store) -> list[tuple[bytes, bytes]]:
    """Every text's vector by its hash."""
    paths = [file.path for file in store.files()]
    passages = store.passages_of_notes(number for number, _ in store.files_at(paths).values())
    return store.vectors_by_hash({text_hash(passage.text) for passage in passages})


def test_a_note_is_encoded_as_a_build_encodes_it(both: tuple[Engine, Engine]) -> None:
    index = both[0].index
    number = index.store.files_at(["kb/new.md"])["kb/new.md"][0]
    passages = index.store.passages_of_notes([number])
    built = index.encode_all([passage.text for passage in passages])
    live_ones = index.vectors_of([passage.number for passage in passages])
    assert len(passages) > 5
    assert built == pytest.approx(live_ones, abs=2e-4)  # stored with 11 bits


def changes(root: Path) -> Iterator[list[str]]:
    """Add, change, change again, remove, move: yields the paths after each."""
    (root / "kb/new.md").write_text(NEW, encoding="utf-8")
    yield ["kb/new.md"]
    cases = sorted(path.relative_to(root).as_posix() for path in (root / "kb").rglob("*.md"))
    for path in cases[10:14]:
        with (root / path).open("a", encoding="utf-8") as file:
            file.write("\nAlso clutch judder in reverse, 0.35 bar, code P0301, in the rain.\n")
    yield cases[10:14]
    with (root / cases[12]).open("a", encoding="utf-8") as file:
        file.write("\nAnd blue smoke on the overrun.\n")
    yield [cases[12]]
    # The answers to some of the questions go, as do their words and conditions.
    gone = [path for path in cases if path != "kb/new.md" and cases.index(path) % 9 == 3]
    for path in gone:
        (root / path).unlink()
    yield gone
    (root / cases[20]).rename(root / "kb/moved.md")
    yield [cases[20], "kb/moved.md"]
    (root / "kb/new.md").write_text(NEW.replace("0.14", "0.15"), encoding="utf-8")
    yield ["kb/new.md"]


@pytest.mark.parametrize("text", QUESTIONS)
def test_the_ranking_is_that_of_an_index_made_from_nothing(
    both: tuple[Engine, Engine], text: str
) -> None:
    live_engine, scratch = both
    question = Question(text, limit=30, articles=10)
    ranked = [
        {
            engine.index.store.notes([note.number])[note.number].note.path: note
            for note in engine.rank(question).notes
        }
        for engine in both
    ]
    assert ranked[0].keys() == ranked[1].keys()
    for path, note in ranked[0].items():
        other = ranked[1][path]
        assert note.score == pytest.approx(other.score, abs=1e-6), path
        assert note.chance == pytest.approx(other.chance, abs=1e-6), path
        assert note.features == pytest.approx(other.features, abs=1e-6), path
    found = [
        [(hit.note.path, hit.closeness, hit.tokens, hit.parts) for hit in answer.cases]
        for answer in (live_engine.find(question), scratch.find(question))
    ]
    assert found[0] == found[1]


def test_a_filtered_search_is_the_same_too(both: tuple[Engine, Engine]) -> None:
    for filters in (Filters(system="wheels"), Filters(make="Halden", since="2024-01-01")):
        answers = [engine.find(Question(QUESTIONS[0], filters=filters)) for engine in both]
        assert [h.note.path for h in answers[0].cases] == [h.note.path for h in answers[1].cases]


def test_all_that_the_store_tells_is_that_of_a_store_made_from_nothing(
    both: tuple[Engine, Engine],
) -> None:
    one, other = (engine.index.store for engine in both)
    assert isinstance(one, ChangedStore)
    assert one.note_count() == other.note_count()
    assert one.passage_count() == other.passage_count()
    assert [(f.path, f.digest) for f in one.files()] == [(f.path, f.digest) for f in other.files()]
    assert sorted(one.words()) == sorted(other.words())
    assert counts(one) == counts(other)
    for column in NAMED:
        assert one.names(column) == other.names(column)
    machines = [sorted(machine_facts(store), key=repr) for store in (one, other)]
    assert machines[0] == machines[1]
    for case in ("2026-9001", "2023-0098"):
        paths = [[s.note.path for s in store.notes_by_case(case)] for store in (one, other)]
        assert paths[0] == paths[1]
    assert [s.note.path for s in one.all_notes()] == [s.note.path for s in other.all_notes()]
    assert list(one.case_wordings()) == list(other.case_wordings())
    nouns = ["bearing", "pump", "hose"]
    causes = [sorted((c.path, c.first_line) for c in s.causes_named(nouns)) for s in (one, other)]
    assert causes[0] == causes[1] and causes[0]


def counts(store: Store) -> dict[str, int]:
    return {
        f"{r.axis} {r.value} {r.polarity} {r.span}": count for r, count in store.condition_counts()
    }


def machine_facts(store: Store) -> list[tuple[object, ...]]:
    return [(m.make, m.model, m.engine, m.year, m.distance) for m in store.diagnosed_machines()]


def test_every_question_to_a_store_is_answered_with_the_changes_too() -> None:
    # What `Store` answers and `ChangedStore` does not would be the answer without the changes.
    asked = {name for store in Store.__mro__ for name in vars(store) if not name.startswith("_")}
    # These rest on others below them.
    shared = {"over", "note_table", "copy_into", "case_wordings", "diagnosed_machines"}
    assert asked - shared - vars(ChangedStore).keys() - vars(object).keys() == set()


def test_an_open_index_stays_as_it_was(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/a.md", "# Hums\n")
    shop_folder.build()
    before = opened(shop_folder.shop)
    shop_folder.write("kb/b.md", "# Squeals\n")
    after, _ = LiveNotes().bring_in(before, ["kb/b.md"])
    assert [f.path for f in before.store.files()] == ["kb/a.md"]
    assert [f.path for f in after.store.files()] == ["kb/a.md", "kb/b.md"]
    assert not Engine(before).find(Question("squeals")).cases[0].note.path.endswith("b.md")


def test_a_note_brought_into_an_empty_index_is_found(shop_folder: ShopFolder) -> None:
    shop_folder.build()
    shop_folder.write("kb/a.md", "# Hums at the front\n")
    index, changed = LiveNotes().bring_in(opened(shop_folder.shop), ["kb/a.md"])
    assert changed.found == ("kb/a.md",)
    assert Engine(index).find(Question("hums")).cases[0].note.path == "kb/a.md"


def test_nothing_changed_gives_the_same_index(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/a.md", "# Hums\n")
    shop_folder.build()
    index = opened(shop_folder.shop)
    again, changed = LiveNotes().bring_in(index, ["kb/a.md", "kb/never-was.md"])
    assert again is index and changed == live.BroughtIn()


def test_a_file_that_is_no_text_is_a_trouble_and_found_no_more(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/a.md", "# Hums\n")
    shop_folder.write("kb/b.md", "# Squeals\n")
    shop_folder.build()
    shop_folder.write("kb/a.md", bytes(range(256)) * 4)
    index, changed = LiveNotes().bring_in(opened(shop_folder.shop), ["kb/a.md"])
    assert changed.found == () and changed.troubles[0].path == "kb/a.md"
    assert [trouble.path for trouble in index.store.troubles()] == ["kb/a.md"]
    assert [file.path for file in index.store.files()] == ["kb/b.md"]
    shop_folder.write("kb/a.md", "# Hums again, and for longer than before by far\n")
    index, changed = LiveNotes().bring_in(index, ["kb/a.md"])
    assert changed.found == ("kb/a.md",) and not index.store.troubles()


def test_without_a_model_words_are_searched_live_too(
    new_shop: Callable[[str], ShopFolder], tmp_path: Path
) -> None:
    folder = new_shop("no-model")
    (tmp_path / "model").mkdir()
    folder.write("shop.toml", f'[model]\nfolder = "{tmp_path / "model"}"\nsha256 = "{"0" * 64}"\n')
    folder.write("kb/a.md", "# Hums\n")
    folder.build()
    index = opened(folder.shop)
    assert index.words_only
    folder.write("kb/b.md", "# Squeals in the morning\n")
    index, _ = LiveNotes().bring_in(index, ["kb/b.md"])
    assert Engine(index).find(Question("squeals")).cases[0].note.path == "kb/b.md"


LONG = "# Hums from 35 mph\n\n" + "The bearing was worn on the outer race. " * 20 + "\n"


def test_b08_a_note_that_lost_most_of_its_text_stays_until_two_readings_agree(
    shop_folder: ShopFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    now = 100.0
    monkeypatch.setattr(live.time, "monotonic", lambda: now)
    shop_folder.write("kb/a.md", LONG)
    shop_folder.write("kb/b.md", "# Squeals\n")
    shop_folder.build()
    notes, index = LiveNotes(), opened(shop_folder.shop)
    shop_folder.write("kb/a.md", LONG[:30])
    index, changed = notes.bring_in(index, ["kb/a.md"])
    assert changed.waiting == changed.again == ("kb/a.md",) and not changed.count
    assert Engine(index).find(Question("outer race")).cases[0].note.path == "kb/a.md"
    now += 0.3  # the watcher may tell of the same writing twice
    assert notes.bring_in(index, ["kb/a.md"])[1].waiting == ("kb/a.md",)
    now += 2.0
    shop_folder.write("kb/a.md", LONG[:40])  # still being written
    assert notes.bring_in(index, ["kb/a.md"])[1].waiting == ("kb/a.md",)
    now += 2.0
    index, changed = notes.bring_in(index, ["kb/a.md"])
    assert changed.found == ("kb/a.md",)
    assert not index.store.postings(["outer"])


def test_b08_a_note_written_in_two_steps_is_found_whole_in_the_end(
    shop_folder: ShopFolder,
) -> None:
    shop_folder.write("kb/a.md", LONG)
    shop_folder.build()
    notes, index = LiveNotes(), opened(shop_folder.shop)
    shop_folder.write("kb/a.md", LONG[:600])
    index, changed = notes.bring_in(index, ["kb/a.md"])
    assert changed.found == changed.again == ("kb/a.md",), "found at once, and read again"
    shop_folder.write("kb/a.md", LONG + "Also squeals.\n")
    index, changed = notes.bring_in(index, changed.again)
    assert changed.found == ("kb/a.md",)
    assert index.store.postings(["squeal"])


def test_b08_what_this_program_has_written_itself_is_taken_at_once(
    shop_folder: ShopFolder,
) -> None:
    shop_folder.write("kb/a.md", LONG)
    shop_folder.build()
    shop_folder.write("kb/a.md", "# Squeals\n")
    index, changed = LiveNotes().bring_in(opened(shop_folder.shop), ["kb/a.md"], certain=True)
    assert changed.found == ("kb/a.md",) and not changed.again
    assert not index.store.postings(["outer"])


def test_notes_that_all_seem_gone_stay_found(shop_folder: ShopFolder) -> None:
    paths = [f"kb/{number}.md" for number in range(4)]
    for path in paths:
        shop_folder.write(path, f"# Hums {path}\n")
    shop_folder.build()
    shutil.rmtree(shop_folder.root / "kb")
    notes, index = LiveNotes(), opened(shop_folder.shop)
    for _ in range(2):
        notes._shrunk = {path: (digest, 0.0) for path, (digest, _) in notes._shrunk.items()}
        index, changed = notes.bring_in(index, paths)
    assert changed.count == 0 and index.store.note_count() == 4


def opened(shop: Shop) -> OpenIndex:
    index = open_index(shop)
    index.load()
    return index
