"""Feeds the note reader with what atheris makes.

    python -m tests.reliability.atheris_notes -runs=N

atheris (Apache-2.0) is not among the project's own requirements: `pip install atheris`. It learns
from which lines of the reader an input reaches, so it is started on its own and not in the suite.
"""

from __future__ import annotations

import random
import sys
import tempfile
from pathlib import Path

import atheris

with atheris.instrument_imports(include=["benchlore.notes"]):
    from benchlore.notes import reader  # noqa: F401

from tests.reliability import fragments
from tests.reliability.fuzzing import read_one_note

SEEDS = 300


def main() -> None:
    chance = random.Random(1)
    with tempfile.TemporaryDirectory() as folder:
        for number in range(SEEDS):
            (Path(folder) / str(number)).write_bytes(fragments.note_file(chance))
        words = Path(folder).with_suffix(".words")
        pieces = (piece.encode("utf-8", "replace") for piece in fragments.YAML)
        words.write_text("".join(f'"{_escaped(piece)}"\n' for piece in pieces))
        options = ["-max_len=2000", f"-dict={words}", "-timeout=2", folder]
        atheris.Setup([sys.argv[0], *sys.argv[1:], *options], read_one_note)
        atheris.Fuzz()


def _escaped(piece: bytes) -> str:
    return "".join(f"\\x{byte:02x}" for byte in piece)


if __name__ == "__main__":
    main()
