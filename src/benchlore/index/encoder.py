"""Texts to vectors by the exported encoder: onnxruntime and tokenizers, nothing heavier."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from benchlore.errors import ModelError

BATCH = 16
"""Texts in one run. On two cores 8, 16 and 32 differ by less than a twentieth."""

SHORT_SHARE = 0.7
"""A text with fewer tokens than this share of a batch's longest starts the next batch: most of its
run would be padding. The passages of one note take half the time so."""

Vectors = npt.NDArray[np.float32]


class Encoder:
    """The exported sentence model. `dimensions` is the length of its vectors.

    Raises:
        ModelError: the files cannot be loaded. Verify their seals first: a damaged ONNX file may
            load and give other vectors.
    """

    def __init__(self, encoder: Path, tokenizer: Path, max_tokens: int) -> None:
        # onnxruntime 1.32 reports its use over the network some seconds after a session is made,
        # unless this is set before it is loaded; its `disable_telemetry_events` does not stop it.
        os.environ["ORT_DISABLE_TELEMETRY"] = "1"
        # Imported here: a search that waits for nothing but words must not pay 0.15 s for it.
        import onnxruntime
        from tokenizers import Tokenizer

        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = min(4, os.cpu_count() or 1)
        options.log_severity_level = 4
        options.add_session_config_entry("session.intra_op.allow_spinning", "0")
        try:
            self._session = onnxruntime.InferenceSession(
                str(encoder), options, providers=["CPUExecutionProvider"]
            )
            self._tokenizer = Tokenizer.from_file(str(tokenizer))
        except Exception as error:  # onnxruntime and tokenizers raise bare exceptions
            raise ModelError(f"the exported encoder cannot be loaded: {error}") from error
        self._tokenizer.enable_truncation(max_tokens)
        self._tokenizer.no_padding()
        self.dimensions = int(self._session.get_outputs()[0].shape[-1])

    def encode(self, texts: Sequence[str]) -> Vectors:
        """Return the vectors of `texts`: float32, shape (len(texts), dimensions), each of length 1.

        The empty text has a vector too. Equal texts in equal batches give equal vectors; over
        different batches they differ by rounding (below 1e-6).
        """
        vectors = np.empty((len(texts), self.dimensions), dtype=np.float32)
        for batch, encoded in self._batches(texts):
            vectors[batch] = self._session.run(None, self._feed(encoded))[0]
        return vectors

    def _batches(self, texts: Sequence[str]) -> Iterator[tuple[list[int], list[Any]]]:
        """Texts of like length run together, so that little padding is computed."""
        encodings = self._tokenizer.encode_batch([_encodable(text) for text in texts])
        order = sorted(range(len(texts)), key=lambda i: -len(encodings[i].ids))
        batch: list[int] = []
        for i in order:
            if batch and (len(batch) == BATCH or _is_short(encodings[i], encodings[batch[0]])):
                yield batch, [encodings[j] for j in batch]
                batch = []
            batch.append(i)
        if batch:
            yield batch, [encodings[j] for j in batch]

    @staticmethod
    def _feed(encodings: list[Any]) -> dict[str, npt.NDArray[np.int64]]:
        longest = max(len(encoding.ids) for encoding in encodings)
        ids = np.zeros((len(encodings), longest), dtype=np.int64)
        mask = np.zeros_like(ids)
        for row, encoding in enumerate(encodings):
            ids[row, : len(encoding.ids)] = encoding.ids
            mask[row, : len(encoding.ids)] = 1
        return {"input_ids": ids, "attention_mask": mask}


def _is_short(encoding: Any, longest: Any) -> bool:  # noqa: ANN401
    """Whether running a text beside a longer one would cost more than a run of its own."""
    return len(encoding.ids) < SHORT_SHARE * len(longest.ids)


def _encodable(text: str) -> str:
    """Lone surrogates, as in undecodable file names, cannot be passed to the tokenizer."""
    return text.encode("utf-8", "replace").decode("utf-8")
