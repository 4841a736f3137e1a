"""The obvious script, second half: load model and index, encode the question, search, print."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import faiss
from sentence_transformers import SentenceTransformer


def main(model_folder: str, folder: str, question: str) -> None:
    """Print the ten passages nearest to `question` out of what `peer_build` wrote to `folder`."""
    model = SentenceTransformer(model_folder)
    index = faiss.read_index(str(Path(folder) / "vectors.faiss"))
    texts = json.loads((Path(folder) / "texts.json").read_text(encoding="utf-8"))
    cosines, found = index.search(model.encode([question]), 10)
    for cosine, number in zip(cosines[0], found[0], strict=True):
        print(f"{cosine:.3f} {texts[number]}")


if __name__ == "__main__":
    main(*sys.argv[1:])
