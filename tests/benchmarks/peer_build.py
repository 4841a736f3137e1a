"""The obvious script, first half: encode the passages, store vectors, FAISS index and texts.

Prints as JSON how long the bare `encode` took, with the model already loaded.
"""

from __future__ import annotations

import json
import sqlite3
import sys
import time
from pathlib import Path

import faiss
import numpy as np
import torch
from sentence_transformers import SentenceTransformer

SAMPLE = 256


def fastest_threads(model: SentenceTransformer, texts: list[str]) -> int:
    """All cores or one: where other programs run too, torch's threads wait for each other, and a
    peer held up like that would flatter us."""
    spent = {}
    for threads in (torch.get_num_threads(), 1):
        torch.set_num_threads(threads)
        model.encode(texts[:32])
        started = time.perf_counter()
        model.encode(texts)
        spent[threads] = time.perf_counter() - started
    return min(spent, key=lambda threads: spent[threads])


def main(model_folder: str, store: str, folder: str) -> None:
    """Encode the passages in an index's SQLite file `store`; write what a search needs."""
    database = sqlite3.connect(f"file:{store}?mode=ro", uri=True)
    texts = [row[0] for row in database.execute("SELECT text FROM passages ORDER BY id")]
    model = SentenceTransformer(model_folder)
    torch.set_num_threads(fastest_threads(model, texts[:SAMPLE]))
    started = time.perf_counter()
    vectors = model.encode(texts)
    seconds = time.perf_counter() - started
    index = faiss.IndexFlatIP(vectors.shape[1])
    index.add(vectors)
    out = Path(folder)
    np.save(out / "vectors.npy", vectors)
    faiss.write_index(index, str(out / "vectors.faiss"))
    (out / "texts.json").write_text(json.dumps(texts), encoding="utf-8")
    print(json.dumps({"seconds": seconds, "texts": len(texts)}))


if __name__ == "__main__":
    main(*sys.argv[1:])
