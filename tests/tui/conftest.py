"""Shops for the screens: one that all tests read, and fresh ones for tests that change it."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from benchlore.shop import Shop
from shops import ShopFolder
from tui.shop_notes import NOTES


@pytest.fixture(scope="session")
def built_folder(tmp_path_factory: pytest.TempPathFactory, exported_model: Path) -> ShopFolder:
    """A shop with a few notes and its index. Do not change it."""
    folder = ShopFolder(tmp_path_factory.mktemp("tui") / "shop", exported_model)
    for path, text in NOTES.items():
        folder.write(path, text)
    folder.build()
    return folder


@pytest.fixture(scope="session")
def built_shop(built_folder: ShopFolder) -> Shop:
    """The same as a shop."""
    return built_folder.shop


@pytest.fixture
def own_folder(new_shop: Callable[[str], ShopFolder], built_folder: ShopFolder) -> ShopFolder:
    """A copy of the shop, with an index of its own, to be changed at will."""
    folder = new_shop("own")
    for name in ("kb", "articles"):
        shutil.rmtree(folder.root / name)
        shutil.copytree(built_folder.root / name, folder.root / name)
    folder.build()
    return folder
