"""What the outside checks share: the original sentence model, and shops made of open data."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

import pytest
import torch
from sentence_transformers import SentenceTransformer

from benchlore.index.encoder import Encoder
from benchlore.index.manifest import read_manifest
from benchlore.index.model_files import verified_model
from benchlore.search.engine import Engine
from benchlore.shop import Settings
from outside.searched import ShopOf, searched_shop

FIGURES = pytest.StashKey[list[str]]()


@pytest.fixture
def figure(request: pytest.FixtureRequest) -> Callable[[str], None]:
    """Notes down a measured figure; all of them are printed at the end, passed or failed."""
    return request.config.stash.setdefault(FIGURES, []).append


def pytest_terminal_summary(
    terminalreporter: pytest.TerminalReporter, config: pytest.Config
) -> None:
    """Print the figures."""
    for text in config.stash.get(FIGURES, []):
        terminalreporter.write_line(text)


@pytest.fixture(scope="session")
def original() -> SentenceTransformer:
    """The sentence model as sentence-transformers itself loads it."""
    # One thread: where other programs run beside it, two wait for each other and take three times
    # as long as one.
    torch.set_num_threads(1)
    folder = verified_model(Settings()).folder
    return SentenceTransformer(str(folder), device="cpu", local_files_only=True)


@pytest.fixture(scope="session")
def exported(exported_model: Path) -> Encoder:
    """The encoder that a build exported."""
    manifest = read_manifest(exported_model, shop=None)
    assert manifest.encoder is not None and manifest.tokenizer is not None
    return Encoder(
        exported_model / manifest.encoder.file,
        exported_model / manifest.tokenizer.file,
        manifest.max_tokens,
    )


@pytest.fixture(scope="session")
def shop_of(tmp_path_factory: pytest.TempPathFactory, exported_model: Path) -> Iterator[ShopOf]:
    """Makes searched shops; they are closed at the end."""
    made: list[Engine] = []

    def make(name: str, notes: Mapping[str, str]) -> Engine:
        made.append(searched_shop(tmp_path_factory.mktemp(name), exported_model, notes))
        return made[-1]

    yield make
    for engine in made:
        engine.index.close()
