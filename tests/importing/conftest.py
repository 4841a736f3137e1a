"""A shop without an index for each test of an import."""

from __future__ import annotations

from pathlib import Path

import pytest

from importing.imports import empty_shop


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return empty_shop(tmp_path / "shop")
