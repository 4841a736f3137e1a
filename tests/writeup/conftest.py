"""A shop that several tests of a file share."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from shops import ShopFolder


@pytest.fixture(scope="module")
def new_shop_once(
    tmp_path_factory: pytest.TempPathFactory, exported_model: Path
) -> Callable[[], ShopFolder]:
    """Makes an empty shop that lasts as long as the file's tests."""
    return lambda: ShopFolder(tmp_path_factory.mktemp("shop") / "shop", exported_model)
