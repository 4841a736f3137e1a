"""A shop made of given notes, built and open for searching."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from benchlore.search.engine import Engine
from shops import ShopFolder

ShopOf = Callable[[str, Mapping[str, str]], Engine]
"""From a name and the text of each file in kb/ to an engine over that shop."""


def searched_shop(root: Path, model: Path, notes: Mapping[str, str]) -> Engine:
    """Make a shop of `notes` at `root` with the encoder of index folder `model`; build, open."""
    shop = ShopFolder(root, model)
    for file, text in notes.items():
        shop.write(f"kb/{file}", text)
    shop.build()
    return shop.engine()
