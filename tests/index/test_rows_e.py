"""Faults in the index and the model (rows E of the reliability table)."""

from __future__ import annotations

import hashlib
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from benchlore.errors import BenchloreError, IndexDamaged, IndexForeign
from benchlore.index import model_files
from benchlore.index.build import build
from benchlore.index.manifest import MANIFEST, SCHEMA, read_manifest
from benchlore.search.results import Answer, Question
from shops import ShopFolder

NOTES = {
    "kb/hum.md": "---\nsymptom: Hum from the rear above 50 km/h\ncodes: [C0035]\n---\nBearing.\n",
    "kb/squeal.md": "---\nsymptom: Brakes squeal in the morning\n---\nPads chamfered.\n",
    "articles/hum.md": "---\ntitle: Hum with road speed\n---\nSwap the tyres front to rear.\n",
}
QUESTION = Question("droning from the back axle C0035")


@pytest.fixture
def built(shop_folder: ShopFolder) -> ShopFolder:
    for path, text in NOTES.items():
        shop_folder.write(path, text)
    shop_folder.build()
    return shop_folder


def index_files(shop: ShopFolder) -> list[Path]:
    """The files that the manifest in force names, and the manifest."""
    manifest = read_manifest(shop.shop.index, shop.shop.root)
    return [shop.shop.index / sealed.file for sealed in manifest.files()] + [
        shop.shop.index / MANIFEST
    ]


def test_e01_without_an_index_find_says_what_to_do(built: ShopFolder) -> None:
    shutil.rmtree(built.root / "index")
    done = built.run("find", "hum")
    assert done.returncode == 4
    assert done.stderr.decode() == "benchlore: no index yet\n  benchlore build makes it\n"


def test_e01_an_index_deleted_while_it_is_open_still_answers(built: ShopFolder) -> None:
    engine = built.engine()
    engine.index.load()
    before = engine.find(QUESTION)
    shutil.rmtree(built.root / "index")
    assert engine.find(QUESTION) == before


def truncated(data: bytes, chance: random.Random) -> bytes:
    return data[: chance.randrange(len(data))]


def flipped(data: bytes, chance: random.Random) -> bytes:
    place = chance.randrange(len(data))
    return data[:place] + bytes([data[place] ^ (1 << chance.randrange(8))]) + data[place + 1 :]


def zeroed(data: bytes, chance: random.Random) -> bytes:
    place = chance.randrange(len(data))
    return data[:place] + bytes(min(4096, len(data) - place)) + data[place + 4096 :]


@pytest.mark.parametrize("damage", [truncated, flipped, zeroed])
def test_e02_a_damaged_index_is_never_answered_from(
    built: ShopFolder, damage: Callable[[bytes, random.Random], bytes]
) -> None:
    chance = random.Random(20)
    sound = built.engine().find(QUESTION)
    for path in index_files(built):
        data = path.read_bytes()
        for _ in range(3 if path.suffix == ".onnx" else 15):
            harmed = damage(data, chance)
            path.write_bytes(harmed)
            assert answer_or_error(built) in ([sound] if harmed == data else [IndexDamaged])
        path.write_bytes(data)
    assert built.engine().find(QUESTION) == sound


def answer_or_error(shop: ShopFolder) -> Answer | type[BenchloreError]:
    try:
        return shop.engine().find(QUESTION)
    except BenchloreError as error:
        return type(error)


def test_e02_files_of_another_shop_are_noticed(
    built: ShopFolder, new_shop: Callable[[str], ShopFolder]
) -> None:
    other = new_shop("other")
    other.write("kb/other.md", "# Clutch judders\n")
    other.build()
    for mine, theirs in zip(index_files(built), index_files(other), strict=True):
        if mine.suffix in (".sqlite", ".faiss"):
            data = mine.read_bytes()
            shutil.copyfile(theirs, mine)
            assert answer_or_error(built) is IndexDamaged
            mine.write_bytes(data)
    shutil.rmtree(built.root / "index")
    shutil.copytree(other.root / "index", built.root / "index")
    assert answer_or_error(built) is IndexForeign
    built.build()
    assert built.engine().find(QUESTION).cases[0].note.path == "kb/hum.md"


def test_e02_the_command_names_the_damage_and_build_cures_it(built: ShopFolder) -> None:
    for place in range(len(index_files(built))):
        path = index_files(built)[place]
        data = bytearray(path.read_bytes())
        data[len(data) // 2] ^= 1
        path.write_bytes(data)
        done = built.run("find", "hum")
        assert done.returncode == 4
        assert b"index damaged: " in done.stderr and b"benchlore build" in done.stderr
        assert not done.stdout
        built.build()
        assert built.run("find", "hum").returncode == 0


def rewritten(shop: ShopFolder, **changes: object) -> None:
    """Change the manifest as another version of benchlore would write it."""
    path = shop.shop.index / MANIFEST
    body = path.read_bytes().split(b"\n")[0]
    body = json.dumps({**json.loads(body), **changes}).encode()
    path.write_bytes(body + b"\n" + hashlib.sha256(body).hexdigest().encode() + b"\n")


def test_e03_a_newer_index_is_left_untouched(built: ShopFolder) -> None:
    rewritten(built, schema=SCHEMA + 1, version="9.0", something_new=[1])
    before = {path: path.read_bytes() for path in built.shop.index.iterdir()}
    for command in (["find", "hum"], ["build"]):
        done = built.run(*command)
        assert done.returncode == 4
        assert b"made by a newer benchlore (9.0)" in done.stderr
    assert {path: path.read_bytes() for path in before} == before


def test_e03_an_older_index_is_made_again(built: ShopFolder) -> None:
    rewritten(built, schema=SCHEMA - 1, version="0.0.1")
    done = built.run("find", "hum")
    assert done.returncode == 4 and b"made by benchlore 0.0.1" in done.stderr
    assert built.build().read == len(NOTES)
    assert built.engine().find(QUESTION).cases


def test_e03_vectors_of_another_model_are_not_mixed_in(built: ShopFolder) -> None:
    rewritten(built, model_sha256="0" * 64)
    result = built.build()
    assert result.encoded >= 5, "every text is encoded again"
    assert built.engine().find(QUESTION).cases


def thirty_notes(shop: ShopFolder) -> None:
    for number in range(30):
        shop.write(f"kb/{number}.txt", f"noise number {number} from the rear axle\n")


def kill_points(shop: ShopFolder, call: str) -> int:
    """How often a clean build makes the system call."""
    log = shop.root / "strace.log"
    subprocess.run(
        ["strace", "-f", "-c", "-o", str(log), "-e", f"trace={call}", *build_command(shop)],
        check=True,
        capture_output=True,
        timeout=120,
    )
    rows = [line.split() for line in log.read_text().splitlines() if line.endswith(f" {call}")]
    return int(rows[0][3]) if rows else 0


def build_command(shop: ShopFolder) -> list[str]:
    return [sys.executable, "-m", "benchlore", "--shop", str(shop.root), "build"]


@pytest.mark.skipif(not shutil.which("strace"), reason="E4: strace is missing")
@pytest.mark.parametrize("call", ["pwrite64", "rename", "fsync", "unlink", "openat"])
def test_e04_killed_in_a_build_the_index_before_answers(
    built: ShopFolder, new_shop: Callable[[str], ShopFolder], call: str
) -> None:
    before = built.engine().find(QUESTION)
    twin = new_shop("twin")
    for path, text in NOTES.items():
        twin.write(path, text)
    twin.build()
    thirty_notes(twin)
    count = kill_points(twin, call)
    assert count, f"a build makes no {call}"
    thirty_notes(built)
    killed = 0
    for point in sorted({max(1, round(count * part / 6)) for part in range(1, 7)}):
        done = subprocess.run(
            ["strace", "-f", "-o", "/dev/null", "-e", f"trace={call}",
             "-e", f"inject={call}:signal=KILL:when={point}", *build_command(built)],
            capture_output=True,
            timeout=120,
            check=False,
        )  # fmt: skip
        if done.returncode in (-signal.SIGKILL, 128 + signal.SIGKILL):
            killed += 1
            answer = built.engine().find(QUESTION)
            assert answer.cases[0] == before.cases[0] or len(answer.cases) > len(before.cases)
    assert killed, f"no build was killed at a {call}"
    assert built.run("build").returncode == 0
    assert len(built.engine().find(Question("noise", limit=50)).cases) == 32


def test_e04_the_next_build_encodes_only_what_is_missing(built: ShopFolder) -> None:
    for number in range(700):
        built.write(f"kb/{number}.txt", f"noise number {number} from the rear axle\n")
    process = subprocess.Popen(build_command(built), stderr=subprocess.PIPE)
    kept = built.shop.index / "encoded.sqlite"
    waited = time.monotonic()
    journal = kept.with_name(kept.name + "-journal")  # while it is there, nothing is kept yet
    while not (kept.exists() and kept.stat().st_size > 100_000 and not journal.exists()):
        assert process.poll() is None and time.monotonic() - waited < 60, "too late to kill it"
        time.sleep(0.01)
    process.kill()
    process.communicate()
    result = built.build()
    assert result.read == 700
    assert 0 < result.encoded <= 700 - 256


def spoiled_model(tmp_path: Path, harm: Callable[[Path], None]) -> Path:
    model = tmp_path / "model"
    shutil.copytree(model_files._packaged_folder(), model)
    harm(model / model_files.WEIGHTS)
    return model


def flip_a_byte(weights: Path) -> None:
    with weights.open("r+b") as file:
        file.seek(1_000_000)
        byte = file.read(1)
        file.seek(1_000_000)
        file.write(bytes([byte[0] ^ 1]))


@pytest.mark.parametrize("harm", [flip_a_byte, os.remove])
def test_e10_without_the_expected_model_words_are_searched_and_it_is_said(
    built: ShopFolder, tmp_path: Path, harm: Callable[[Path], None]
) -> None:
    model = spoiled_model(tmp_path, harm)
    built.write(
        "shop.toml",
        f'[model]\nfolder = "{model}"\nsha256 = "{model_files.PACKAGED_SHA256[:-1]}e"\n'
        if harm is os.remove
        else f'[model]\nfolder = "{model}"\nsha256 = "{"1" * 64}"\n',
    )
    done = built.run("build")
    assert done.returncode == 3
    assert b"word search only" in done.stderr
    found = built.run("find", "squealing brakes")
    assert found.returncode == 0
    assert b"Brakes squeal in the morning" in found.stdout
    assert b"word search only" in found.stderr
    (built.root / "shop.toml").unlink()
    built.build()
    assert b"word search only" not in built.run("find", "squealing brakes").stderr


def test_e10_a_model_with_the_wrong_hash_is_refused(
    built: ShopFolder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    model = spoiled_model(tmp_path, flip_a_byte)
    monkeypatch.setattr(model_files, "_packaged_folder", lambda: model)
    shutil.rmtree(built.root / "index")
    result = build(built.shop, lambda progress: None)
    assert "has SHA-256" in result.no_model
    assert model_files.PACKAGED_SHA256 in result.no_model
