"""Makes `vocabulary.compiled` from the data files: `python -m benchlore.language.compiling`.

To be run after a change to a data file or to `phrases.py`; a test compares the two.
"""

from __future__ import annotations

import json
from pathlib import Path

from benchlore.language import compiled
from benchlore.language.folding import folding_phrases
from benchlore.language.named import compiled_names
from benchlore.language.vocabulary import FOLDER, Vocabulary


def compile_folder(folder: Path = FOLDER) -> bytes:
    """Return what `vocabulary.compiled` must hold for the data files in `folder`."""
    vocabulary = Vocabulary.read(folder)
    tables: dict[str, dict[str, str]] = {
        "sections": {name: _json(vocabulary.table(name)) for name in vocabulary.names},
        "words": {
            "spelling": " ".join(sorted(vocabulary.spelled_words)),
            "stems": " ".join(sorted(vocabulary.spelled_stems)),
        },
        "phrases": vocabulary.phrases.opened(),
        "figures": vocabulary.figures.opened(),
        "folding": folding_phrases(vocabulary).opened(),
        "naming": folding_phrases(vocabulary, names=True).opened(),
        **compiled_names(vocabulary),
    }
    return compiled.written(tables, vocabulary.fingerprint())


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


if __name__ == "__main__":
    (FOLDER / compiled.FILE).write_bytes(compile_folder())
