"""Faults around an index that is used while it changes, and of where it lies (rows E6 to E13)."""

from __future__ import annotations

import shutil
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from benchlore.errors import BenchloreError, NotWritten, UsageError
from benchlore.index import build as building
from benchlore.index import mounts
from benchlore.index.build import build
from benchlore.index.encoder import Encoder, Vectors
from benchlore.index.manifest import read_manifest
from benchlore.index.opened import open_index
from benchlore.index.problems import all_problems
from benchlore.index.store import Store
from benchlore.search.engine import Engine
from benchlore.search.results import Question
from benchlore.shop import find_shop
from benchlore.tui.build_job import BuildEnd, BuildJob
from shops import ShopFolder, no_report

ROUNDS = 20
BUILDERS = 4
FINDS = 50

BUILDER = f"""
import sys, time
from pathlib import Path
from benchlore.errors import Busy
from benchlore.index.build import build
from benchlore.shop import find_shop
root, name = Path(sys.argv[1]), sys.argv[2]
shop = find_shop(str(root))
done = busy = 0
for turn in range({ROUNDS}):
    note = f"# Rattle {{name}}\\n\\nIn round {{turn}} it rattled.\\n"
    (root / f"kb/{{name}}.md").write_text(note)
    try:
        build(shop, lambda progress: None)
        done += 1
    except Busy as error:
        assert str(error).startswith("another build runs since "), error
        busy += 1
        time.sleep(0.02)
print(done, busy)
"""


@pytest.fixture
def built(shop_folder: ShopFolder) -> ShopFolder:
    shop_folder.write("kb/hum.md", "# Hum from the rear above 50 km/h\n\nBearing.\n")
    shop_folder.write("kb/squeal.md", "# Brakes squeal in the morning\n\nPads chamfered.\n")
    shop_folder.build()
    return shop_folder


def test_e06_four_builds_at_once_leave_one_whole_index(built: ShopFolder) -> None:
    builders = [
        subprocess.Popen(
            [sys.executable, "-c", BUILDER, str(built.root), f"builder-{number}"],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
        )
        for number in range(BUILDERS)
    ]
    told = [process.communicate(timeout=300) for process in builders]
    assert [process.returncode for process in builders] == [0] * BUILDERS, told
    counts = [tuple(map(int, out.split())) for out, _ in told]
    assert sum(done for done, _ in counts) > 0
    assert sum(busy for _, busy in counts) > 0, "they never met: nothing was tried"
    built.build()
    names = sorted(path.name for path in built.shop.index.iterdir())
    assert "building.sqlite" not in names and "building-since" not in names
    assert len([name for name in names if name.startswith("store-")]) <= 2
    with open_index(built.shop).store as store:
        stored = {note.note.path for note in store.all_notes()}
        last = [p for n in store.files_at(stored).values() for p in store.passages_of_notes([n[0]])]
    assert sum(f"In round {ROUNDS - 1} " in passage.text for passage in last) == BUILDERS
    assert stored == {"kb/hum.md", "kb/squeal.md"} | {f"kb/builder-{n}.md" for n in range(BUILDERS)}


def test_e06_a_note_saved_during_a_build_is_found_live_and_kept_by_the_next(
    built: ShopFolder,
) -> None:
    from benchlore.tui.session import Session

    session = Session(built.shop)
    session.open()
    built.write("kb/first.md", "# Clunks\n")
    job = BuildJob(built.shop)
    ends: list[object] = []
    running = threading.Thread(target=lambda: ends.extend(job.run()))
    running.start()
    built.write("kb/second.md", "# Warbles\n")
    assert session.refresh(["kb/second.md"], certain=True).found == ("kb/second.md",)
    found = session.find("warbles", None).answer
    assert found is not None and found.cases[0].note.path == "kb/second.md"
    running.join(120)
    assert isinstance(ends[-1], BuildEnd) and ends[-1].published
    session.open()
    found = session.find("warbles", None).answer
    assert found is not None and found.cases[0].note.path == "kb/second.md"


CHANGER = """
import sys
from pathlib import Path
from benchlore.index.build import build
from benchlore.shop import find_shop
root = Path(sys.argv[1])
shop = find_shop(str(root))
turn = 0
while not (root / "stop").exists():
    turn += 1
    word = "warble" if turn % 2 else "clunk"
    for name in ("one", "two"):
        # Not the same file twice, which would count as one note.
        (root / f"kb/{name}.md").write_text(f"# {word} at the rear\\n\\n{name}\\n")
    build(shop, lambda progress: None)
print(turn)
"""


def test_e07_a_search_while_the_index_is_replaced_is_answered_by_one_of_the_two(
    built: ShopFolder,
) -> None:
    for name in ("one", "two"):
        built.write(f"kb/{name}.md", f"# clunk at the rear\n\n{name}\n")
    built.build()
    changer = subprocess.Popen(
        [sys.executable, "-c", CHANGER, str(built.root)], stdout=subprocess.PIPE
    )
    generations = set()
    try:
        for _ in range(FINDS):
            index = open_index(built.shop)
            generations.add(index.manifest.generation)
            answer = Engine(index).find(Question("warble or clunk at the rear"))
            said = {
                hit.note.path: hit.note.symptom.text for hit in answer.cases if hit.note.symptom
            }
            assert {said["kb/one.md"], said["kb/two.md"]} in (
                {"warble at the rear"},
                {"clunk at the rear"},
            ), "a part of each"
            assert len(said) == 4
            index.close()
    finally:
        (built.root / "stop").touch()
        turns = int(changer.communicate(timeout=120)[0])
    assert turns >= 3 and len(generations) >= 3, "the index was hardly replaced: nothing was tried"


@pytest.fixture
def read_only(built: ShopFolder, tmp_path: Path) -> Iterator[ShopFolder]:
    """The shop on a file system that takes no writing; skipped where none can be had."""
    place = tmp_path / "media"
    place.mkdir()
    mount = shutil.which("mount")
    if not mount or subprocess.run([mount, "-t", "tmpfs", "tmpfs", place], check=False).returncode:
        pytest.skip("E8: nothing can be mounted here")
    try:
        shutil.copytree(built.root, place / "shop")
        # The index is for the shop where it lay: it is made for the new place.
        build(find_shop(str(place / "shop")), no_report)
        again = subprocess.run([mount, "-o", "remount,ro", place], check=False)
        if again.returncode:
            pytest.skip("E8: a mount cannot be made read-only here")
        folder = ShopFolder.__new__(ShopFolder)
        folder.root = place / "shop"
        yield folder
    finally:
        subprocess.run(["umount", place], check=True)


def test_e08_on_read_only_media_a_search_works_and_a_build_says_why_not(
    read_only: ShopFolder,
) -> None:
    with pytest.raises(OSError, match="Read-only"):  # the fault bites
        (read_only.root / "index" / "new").touch()
    before = {path.name: path.stat().st_mtime_ns for path in (read_only.root / "index").iterdir()}
    done = read_only.run("find", "hum from the rear")
    assert done.returncode == 0, done.stderr
    assert b"kb/hum.md" in done.stdout
    refused = read_only.run("build")
    assert refused.returncode == 5
    assert b"--index" in refused.stderr and b"Traceback" not in refused.stderr
    after = {path.name: path.stat().st_mtime_ns for path in (read_only.root / "index").iterdir()}
    assert after == before


def test_e09_an_index_on_a_share_is_warned_of_once_and_never_in_wal_mode(
    shop_folder: ShopFolder, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    table = tmp_path / "mounts"
    table.write_text(f"server:/shop {shop_folder.root} nfs4 rw 0 0\n")
    monkeypatch.setattr(mounts, "MOUNTS", table)
    shop_folder.write("kb/hum.md", "# Hum\n")
    manifest = shop_folder.root / "index" / "manifest"
    manifest.unlink()
    first = shop_folder.build()
    assert "network share" in first.warning and "--index" in first.warning
    shop_folder.write("kb/hum.md", "# Hum, and louder\n")
    assert shop_folder.build().warning == ""
    store = shop_folder.shop.index / read_manifest(shop_folder.shop.index, None).store.file
    # SQLite's file format, bytes 18 and 19: 1 is rollback journal, 2 is WAL.
    assert store.read_bytes()[18:20] == b"\x01\x01"
    assert not [p for p in shop_folder.shop.index.iterdir() if p.name.endswith(("-wal", "-shm"))]


def test_e09_on_a_disk_of_this_computer_nothing_is_warned_of(
    shop_folder: ShopFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(building, "is_on_network", lambda folder: False)
    shop_folder.write("kb/hum.md", "# Hum\n")
    (shop_folder.root / "index" / "manifest").unlink()
    assert shop_folder.build().warning == ""


@pytest.mark.parametrize("harm", ["flipped", "gone"])
def test_e11_a_bad_vector_cache_is_made_again_without_a_question(
    built: ShopFolder, harm: str
) -> None:
    question = Question("droning from the back axle")
    sound = built.engine().find(question)
    sealed = read_manifest(built.shop.index, built.shop.root).vectors
    assert sealed is not None
    path = built.shop.index / sealed.file
    data = path.read_bytes()
    if harm == "gone":
        path.unlink()
    else:
        path.write_bytes(data[:-5] + bytes([data[-5] ^ 1]) + data[-4:])
    with pytest.raises(BenchloreError, match="index damaged"):
        built.engine().find(question)
    result = built.build()
    assert result.published and result.encoded == 0 and result.read == 0
    assert built.engine().find(question) == sound


def test_e11_a_cache_that_holds_too_many_is_made_again(built: ShopFolder) -> None:
    before = read_manifest(built.shop.index, built.shop.root)
    for number in range(30):
        built.write(f"kb/{number}.md", f"# Rattle number {number}\n")
    built.build()
    for number in range(30):
        (built.root / f"kb/{number}.md").unlink()
    built.build()
    after = read_manifest(built.shop.index, built.shop.root)
    with Store(built.shop.index / after.store.file) as store:
        assert after.vectors_count == store.passage_count() == before.vectors_count


BAD = "zorbing"


@pytest.fixture(params=["nan", "zero"])
def bad_vectors(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """A sentence model that gives nothing usable for texts with one certain word."""
    encode = Encoder.encode

    def spoiled(self: Encoder, texts: list[str]) -> Vectors:
        vectors = encode(self, texts)
        rows = [row for row, text in enumerate(texts) if BAD in text]
        vectors[rows] = np.nan if request.param == "nan" else 0.0
        return vectors

    monkeypatch.setattr(Encoder, "encode", spoiled)


@pytest.mark.usefixtures("bad_vectors")
def test_e12_a_passage_without_a_usable_vector_is_found_by_its_words_and_counted(
    built: ShopFolder,
) -> None:
    text = f"# Clunks on the overrun\n\nA {BAD} noise from the propshaft.\n"
    built.write("kb/bad.md", text)
    result = built.build()
    assert [trouble.path for trouble in result.troubles] == ["kb/bad.md"]
    index = open_index(built.shop)
    problems = all_problems(index.store)  # what makes the command end with 3
    assert [problem.path for problem in problems] == ["kb/bad.md"]
    assert "words only" in problems[0].todo
    # Asked in words that the model can read, as it would be with the real one.
    answer = Engine(index).find(Question("noise from the propshaft"))
    assert answer.cases[0].note.path == "kb/bad.md"
    assert all(np.isfinite(hit.score) for hit in answer.cases)
    for _, vectors in index.store.passage_vectors(0):
        assert np.isfinite(vectors).all()


@pytest.mark.usefixtures("bad_vectors")
def test_e12_the_same_of_a_note_brought_in_live(built: ShopFolder) -> None:
    from benchlore.index.live import LiveNotes

    index = open_index(built.shop)
    index.load()
    built.write("kb/bad.md", f"# {BAD} noise from the propshaft\n")
    index, done = LiveNotes().bring_in(index, ["kb/bad.md"])
    assert [trouble.path for trouble in done.troubles] == ["kb/bad.md"]
    answer = Engine(index).find(Question("noise from the propshaft"))
    assert answer.cases[0].note.path == "kb/bad.md"
    assert np.isfinite(answer.cases[0].score)


def test_e12_short_of_memory_the_index_before_stays(
    built: ShopFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = built.engine().find(Question("hum from the rear"))

    def short(self: Encoder, texts: list[str]) -> Vectors:
        raise MemoryError

    built.write("kb/new.md", "# Rattles\n")
    with monkeypatch.context() as patched:
        patched.setattr(Encoder, "encode", short)
        with pytest.raises(NotWritten, match="not enough memory") as raised:
            built.build()
    assert raised.value.exit_code == 5
    assert built.engine().find(Question("hum from the rear")) == before
    assert built.build().read == 1


def test_e13_an_index_named_by_a_link_or_among_the_notes_is_refused(
    built: ShopFolder, tmp_path: Path
) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "real")
    for place in (built.root / "kb", built.root / "kb/index", tmp_path / "link"):
        done = built.run("--index", str(place), "build")
        assert done.returncode == 2, place
        assert b"name " in done.stderr and b"Traceback" not in done.stderr
    assert not list((tmp_path / "real").iterdir())
    assert sorted(p.name for p in (built.root / "kb").iterdir()) == ["hum.md", "squeal.md"]


def test_e13_an_index_folder_that_is_a_link_is_refused(built: ShopFolder, tmp_path: Path) -> None:
    (built.root / "index").rename(tmp_path / "elsewhere")
    (built.root / "index").symlink_to(tmp_path / "elsewhere")
    before = sorted(path.name for path in (tmp_path / "elsewhere").iterdir())
    with pytest.raises(UsageError, match="is a link"):
        built.build()
    assert sorted(path.name for path in (tmp_path / "elsewhere").iterdir()) == before


def test_e13_strangers_beside_an_index_are_left_alone(built: ShopFolder) -> None:
    strangers = ("store-1.sqlite.bak", "store-old.sqlite", "letter.txt", "manifest.old")
    for name in strangers:
        (built.shop.index / name).write_text("somebody's")
    (built.shop.index / "folder").mkdir()
    for turn in range(3):
        built.write("kb/hum.md", f"# Hum {turn}\n")
        built.build()
    for name in strangers:
        assert (built.shop.index / name).read_text() == "somebody's"
    assert (built.shop.index / "folder").is_dir()
