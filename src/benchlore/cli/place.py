"""Which shop a command works in."""

from __future__ import annotations

import os
from dataclasses import dataclass

from benchlore.cli.output import warn
from benchlore.errors import ShopError
from benchlore.shop import Shop, find_shop


@dataclass(frozen=True, slots=True)
class Place:
    """What stood before the command: `--shop` and `--index`, None where not given."""

    named_shop: str | None
    named_index: str | None

    def shop(self) -> Shop:
        """Find the shop folder, and say what in its settings could not be used."""
        shop = find_shop(self.named_shop, self.named_index)
        for problem in shop.settings.problems:
            warn(problem)
        return shop

    def shop_if_any(self) -> Shop | None:
        """Find the shop folder as `shop` does; None where none is named and none is here or above.

        Raises:
            ShopError: the folder that was named is no shop.
        """
        try:
            return self.shop()
        except ShopError:
            if self.named_shop or os.environ.get("BENCHLORE_SHOP"):
                raise
            return None
