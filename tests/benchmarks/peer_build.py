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
from sentence_transformers import SentenceTransformer


def main(model_folder: str, store: str, folder: str) -> None:
    """Encode the passages in an index's SQLite file `store`; write what a search needs."""
    database = sqlite3.connect(f"file:{store}?mode=ro", uri=True)
    texts = [row[0] for row in database.execute("SELECT text FROM passages ORDER BY id")]
    model = SentenceTransformer(model_folder)
    model.encode(texts[:32])
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
