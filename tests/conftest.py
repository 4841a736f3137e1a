"""Fixtures that every part of the suite shares: shops in temporary folders."""

from __future__ import annotations

import secrets
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from benchlore.index.build import build
from benchlore.index.opened import open_index
from benchlore.search.engine import Engine
from benchlore.shop import find_shop
from shops import REPOSITORY, ShopFolder, no_report


@pytest.fixture(autouse=True)
def _own_surroundings(
    monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """What the caller's shell says about shops, colours and terminals must not reach a test."""
    for name in ("BENCHLORE_SHOP", "BENCHLORE_INDEX", "NO_COLOR", "FORCE_COLOR"):
        monkeypatch.delenv(name, raising=False)
    # Made only when a draft is kept.
    drafts = tmp_path_factory.getbasetemp() / "drafts" / secrets.token_hex(8)
    monkeypatch.setenv("BENCHLORE_DRAFTS", str(drafts))


@pytest.fixture(scope="session")
def exported_model(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An index folder of an empty shop: it holds the exported encoder, which takes 10 s to make."""
    root = tmp_path_factory.mktemp("model")
    (root / "kb").mkdir()
    shop = find_shop(str(root))
    build(shop, no_report)
    return shop.index


@pytest.fixture
def shop_folder(tmp_path: Path, exported_model: Path) -> ShopFolder:
    """An empty shop."""
    return ShopFolder(tmp_path / "shop", exported_model)


@pytest.fixture
def new_shop(tmp_path: Path, exported_model: Path) -> Callable[[str], ShopFolder]:
    """Makes further empty shops by name."""
    return lambda name: ShopFolder(tmp_path / name, exported_model)


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory, exported_model: Path) -> Iterator[Engine]:
    """The demo shop, searched through an index of its own."""
    index = tmp_path_factory.mktemp("demo") / "index"
    shutil.copytree(exported_model, index)
    shop = find_shop(str(REPOSITORY), str(index))
    build(shop, no_report)
    opened = open_index(shop)
    yield Engine(opened)
    opened.close()
