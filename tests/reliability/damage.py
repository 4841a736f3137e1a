"""Files of an index and a model harmed by the hundred: never a wrong answer shown as sound."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from benchlore.errors import BenchloreError, ModelError
from benchlore.index.manifest import MANIFEST, read_manifest
from benchlore.index.model_files import verified_model
from benchlore.index.opened import open_index
from benchlore.search.engine import Engine
from benchlore.search.results import Answer, Question
from benchlore.shop import Settings, Shop

Harm = Callable[[bytes, random.Random, bytes], bytes]
"""Makes harmed bytes of a file's, with chance and with those of another file of its kind."""


def truncated(data: bytes, chance: random.Random, other: bytes) -> bytes:
    return data[: chance.randrange(len(data))]


def flipped(data: bytes, chance: random.Random, other: bytes) -> bytes:
    """One bit."""
    place = chance.randrange(len(data))
    return data[:place] + bytes([data[place] ^ (1 << chance.randrange(8))]) + data[place + 1 :]


def zeroed(data: bytes, chance: random.Random, other: bytes) -> bytes:
    """A page of a disk."""
    place = chance.randrange(len(data)) // 4096 * 4096
    return data[:place] + bytes(min(4096, len(data) - place)) + data[place + 4096 :]


def swapped(data: bytes, chance: random.Random, other: bytes) -> bytes:
    """A part, or all, of it from the other file."""
    if chance.randrange(2):
        return other
    place = chance.randrange(len(data))
    return data[:place] + other[place : place + 4096] + data[place + 4096 :]


HARMS: tuple[Harm, ...] = (truncated, flipped, zeroed, swapped)


def index_files(shop: Shop) -> list[Path]:
    """The files that the manifest in force names, and the manifest."""
    manifest = read_manifest(shop.index, shop.root)
    return [shop.index / sealed.file for sealed in manifest.files()] + [shop.index / MANIFEST]


def ask(shop: Shop, question: Question) -> Answer | None:
    """The answer; None where the index is said to be unusable."""
    try:
        opened = open_index(shop)
        try:
            return Engine(opened).find(question)
        finally:
            opened.close()
    except BenchloreError:
        return None


def harmed_indexes(
    shop: Shop, other: Shop, question: Question, count: int, seed: int
) -> Counter[str]:
    """Harm files of the index of `shop`, one at a time, `count` times in all, and ask.

    `other` has an index of its own, whose files are mixed in. Counted are `refused`, `unharmed`
    (the bytes came out the same), and `wrong`: an answer from harmed bytes, or another exception.
    """
    chance = random.Random(seed)
    sound = ask(shop, question)
    assert sound is not None and sound.cases
    counts: Counter[str] = Counter()
    pairs = list(zip(index_files(shop), index_files(other), strict=True))
    for number in range(count):
        file, theirs = pairs[number % len(pairs)]
        harm = HARMS[number // len(pairs) % len(HARMS)]
        data = file.read_bytes()
        bad = harm(data, chance, theirs.read_bytes())
        file.write_bytes(bad)
        try:
            found = ask(shop, question)
            kind = "unharmed" if bad == data else "refused" if found is None else "wrong"
            counts["wrong" if bad == data and found != sound else kind] += 1
        except Exception:
            counts["wrong"] += 1
        finally:
            file.write_bytes(data)
        counts["tried"] += 1
    assert ask(shop, question) == sound
    return counts


def harmed_models(model: Path, sha256: str, count: int, seed: int) -> Counter[str]:
    """Harm the weights in the folder `model`, `count` times: they must be refused each time."""
    chance = random.Random(seed)
    settings = Settings(model_folder=model, model_sha256=sha256)
    verified_model(settings)
    weights = max(model.iterdir(), key=lambda file: file.stat().st_size)
    data, counts = weights.read_bytes(), Counter[str]()
    for number in range(count):
        bad = HARMS[number % 3](data, chance, b"")
        weights.write_bytes(bad)
        try:
            verified_model(settings)
            counts["unharmed" if bad == data else "wrong"] += 1
        except ModelError:
            counts["refused"] += 1
        counts["tried"] += 1
    weights.write_bytes(data)
    return counts
