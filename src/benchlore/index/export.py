"""Exporting the sentence model to ONNX, once for each model.

The only module that loads torch and sentence-transformers: importing them takes 4 to 8 seconds,
where the exported encoder loads in 0.3. On two cores the exported encoder also encodes 1.5 times as
many passages a second, so the build uses it too, and all vectors come from one encoder.
"""

from __future__ import annotations

import contextlib
import io
import logging
import os
import shutil
import warnings
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchlore.errors import ModelError
from benchlore.index.model_files import NOT_EXPECTED, ModelFiles

if TYPE_CHECKING:
    from sentence_transformers import SentenceTransformer

OPSET = 17
PROBES = (
    "Droning hum from the rear that rises with road speed",
    "P0301",
    "",
    "No noise cold, knocks at 2500 rpm once warm; clutch down makes no difference. " * 12,
    "Bremse zieht nach links, nur bei Nässe \N{DEGREE SIGN}",
)
"""Encoded both ways after an export: the two must agree before the export is used."""

SAME = 0.9999
"""The least cosine between the two encodings of a probe."""


def export_encoder(model: ModelFiles, encoder: Path, tokenizer: Path) -> None:
    """Write `model` as an ONNX file with pooling and normalisation inside, and its tokenizer.

    The ONNX graph takes `input_ids` and `attention_mask`, int64 of shape (texts, pieces), and gives
    `vectors`, float32 of shape (texts, dimensions), each of length 1.

    Raises:
        ModelError: the model cannot be loaded, or the export does not encode as the model does.
        OSError: a file cannot be written.
    """
    os.environ["HF_HUB_OFFLINE"] = "1"
    os.environ["HF_HUB_DISABLE_TELEMETRY"] = "1"
    os.environ.setdefault("TRANSFORMERS_VERBOSITY", "error")
    os.environ.setdefault("TOKENIZERS_PARALLELISM", "true")
    with warnings.catch_warnings(), _silent():
        warnings.simplefilter("ignore")
        original = _load(model)
        try:
            _export(original, encoder)
        except OSError:
            raise
        except Exception as error:  # whatever torch raises: the notes are searched by words then
            raise ModelError(f"the model cannot be exported ({error}): {NOT_EXPECTED}") from error
        shutil.copyfile(model.folder / "tokenizer.json", tokenizer)
        _compare(original, model, encoder, tokenizer)


@contextlib.contextmanager
def _silent() -> Iterator[None]:
    """Loading bars and export remarks of the libraries are no news for a technician."""
    logging.getLogger("torch.onnx").setLevel(logging.ERROR)
    with contextlib.redirect_stderr(io.StringIO()), contextlib.redirect_stdout(io.StringIO()):
        yield


def _load(model: ModelFiles) -> SentenceTransformer:
    from sentence_transformers import SentenceTransformer

    try:
        return SentenceTransformer(
            str(model.folder), device="cpu", local_files_only=True, trust_remote_code=False
        )
    except Exception as error:  # whatever a library raises on a broken model: one message
        raise ModelError(
            f"the sentence model in {model.folder} cannot be loaded: {error}"
        ) from error


def _export(original: SentenceTransformer, encoder: Path) -> None:
    import torch

    class Encoder(torch.nn.Module):
        """Mean pooling over the real pieces, then length 1, as the model's own modules do."""

        def __init__(self, transformer: torch.nn.Module) -> None:
            super().__init__()
            self.transformer = transformer

        def forward(self, input_ids: torch.Tensor, attention_mask: torch.Tensor) -> torch.Tensor:
            hidden = self.transformer(
                input_ids=input_ids, attention_mask=attention_mask
            ).last_hidden_state
            kept = attention_mask.unsqueeze(-1).to(hidden.dtype)
            mean = (hidden * kept).sum(1) / kept.sum(1).clamp(min=1e-9)
            return torch.nn.functional.normalize(mean, p=2, dim=1)

    transformer: Any = original[0].auto_model
    transformer.eval()
    transformer.config._attn_implementation = "eager"
    ids = torch.randint(1000, 2000, (2, 8))
    axes = {0: "texts", 1: "pieces"}
    with torch.no_grad():
        torch.onnx.export(
            Encoder(transformer),
            (ids, torch.ones_like(ids)),
            str(encoder),
            input_names=["input_ids", "attention_mask"],
            output_names=["vectors"],
            dynamic_axes={"input_ids": axes, "attention_mask": axes, "vectors": {0: "texts"}},
            opset_version=OPSET,
            dynamo=False,
        )


def _compare(
    original: SentenceTransformer, model: ModelFiles, encoder: Path, tokenizer: Path
) -> None:
    from benchlore.index.encoder import Encoder

    ours = Encoder(encoder, tokenizer, model.max_tokens).encode(list(PROBES))
    theirs = original.encode(list(PROBES), normalize_embeddings=True)
    least = float((ours * theirs).sum(axis=1).min())
    if least < SAME:
        raise ModelError(
            f"the exported encoder differs from the model (cosine {least:.4f}): {NOT_EXPECTED}"
        )
