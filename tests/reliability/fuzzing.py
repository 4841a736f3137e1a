"""Readers given what nobody would write: nothing raised but what is documented, nothing slow."""

from __future__ import annotations

import random
import time
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path

from tests.reliability import fragments

from benchlore.index.oddities import with_oddities
from benchlore.language.conditions import read_conditions, read_prose
from benchlore.notes import NotEditable, NotText, Value, read_note, set_field
from benchlore.notes.compose import compose

SLOW_S = 2.0
"""No text may take a reader longer than this."""

KEPT = 5
"""Inputs that are kept of those that went wrong."""


@dataclass(slots=True)
class Fuzzed:
    """What came of many inputs: how often each outcome, the slowest, and some that went wrong."""

    counts: Counter[str] = field(default_factory=Counter)
    slowest: float = 0.0
    crashers: list[str] = field(default_factory=list)

    @property
    def wrong(self) -> int:
        return self.counts["wrong"]

    def run(self, made: object, reader: Callable[[], str]) -> None:
        """Count one input; `reader` says what came of it, and raises where it went wrong."""
        started = time.perf_counter()
        try:
            outcome = reader()
        except Exception as error:
            outcome = "wrong"
            if len(self.crashers) < KEPT:
                self.crashers.append(f"{made!r}: {type(error).__name__}: {error}")
        taken = time.perf_counter() - started
        self.slowest = max(self.slowest, taken)
        self.counts["tried"] += 1
        self.counts[outcome] += 1
        self.counts["slow"] += taken > SLOW_S


def notes(count: int, seed: int) -> Fuzzed:
    """Read `count` files that are almost notes."""
    chance, done = random.Random(seed), Fuzzed()
    for _ in range(count):
        data = fragments.note_file(chance)
        done.run(data, lambda data=data: read_one_note(data))
    return done


def read_one_note(data: bytes) -> str:
    """Read one file; anything but a note or `NotText` is wrong."""
    try:
        note = with_oddities(read_note("kb/a.md", data))
    except NotText:
        return "not text"
    for problem in note.problems:
        assert problem.what and "\n" not in problem.what + problem.todo
    return "read"


def conditions(count: int, seed: int) -> Fuzzed:
    """Read `count` sentences, half of them as a body of prose."""
    chance, done = random.Random(seed), Fuzzed()
    for number in range(count):
        text = fragments.sentence(chance)
        reader = read_prose if number % 2 else read_conditions
        done.run(text, lambda text=text, reader=reader: _read_conditions(text, reader))
    return done


def _read_conditions(text: str, reader: Callable[[str], Iterable[object]]) -> str:
    return "read" if list(reader(text)) else "nothing read"


def round_trips(files: Iterable[Path], count: int, seed: int) -> Fuzzed:
    """Note files, and `count` made ones, written back as they are read: the same bytes."""
    chance, done = random.Random(seed), Fuzzed()
    for file in files:
        done.run(file.name, lambda file=file: _unchanged(file.read_bytes()))
    for _ in range(count):
        fields = _fields(chance)
        data = compose(fields, fragments.soup(chance, fragments.TRADE, 8, " "))
        end = chance.choice((b"\n", b"\n", b"\r\n"))
        data = data.replace(b"\n", end)
        done.run(data, lambda data=data: _there_and_back(data))
    return done


TEXTS = ("case", "date", "by", "symptom", "system", "where")


def _fields(chance: random.Random) -> dict[str, Value]:
    words = [*fragments.YAML, *fragments.TRADE]

    def text() -> str:
        return fragments.soup(chance, words, 5, " ").encode("utf-8", "replace").decode()

    made: dict[str, Value] = {key: text() for key in chance.sample(TEXTS, k=3)}
    made["present"] = [text() for _ in range(chance.randrange(3))]
    made["machine"] = {"make": "Halden", "model": text()}
    made["checks"] = [{"check": text(), "value": "0.14 mm"} for _ in range(chance.randrange(3))]
    return made


def _said(data: bytes) -> dict[str, str]:
    note = read_note("kb/a.md", data)
    said = {"date": note.date, "by": note.by, "system": note.system}
    for key, stated in (("symptom", note.symptom), ("where", note.where)):
        if stated:
            said[key] = stated.text
    return {key: text for key, text in said.items() if text}


def _unchanged(data: bytes) -> str:
    """Every text field set to what it says: not a byte may move."""
    note = read_note("kb/a.md", data)
    for key, text in _said(data).items():
        if note.body_line > 1 and (key != "symptom" or b"\nsymptom:" in data):
            assert set_field(data, key, text) == data, key
    return "same bytes"


def _there_and_back(data: bytes) -> str:
    """Every text field changed and changed back: the same bytes, and in between one line."""
    try:
        _unchanged(data)
        for key, text in _said(data).items():
            if b"\n" + key.encode() + b":" not in data and not data.startswith(key.encode()):
                continue
            changed = set_field(data, key, "another: text")
            assert changed != data
            assert set_field(changed, key, text) == data, key
    except NotEditable:
        return "refused"
    return "same bytes"
