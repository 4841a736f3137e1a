"""Which notes a check is to report on, from the paths that were named."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from benchlore.errors import UsageError
from benchlore.shop import NOTE_FOLDERS, Shop


@dataclass(frozen=True, slots=True)
class Chosen:
    """Notes and folders of a shop, their paths below it; all of it where there are none."""

    paths: tuple[str, ...] = ()

    def __contains__(self, path: object) -> bool:
        """Say whether `path`, below the shop, is one of these or stands in one of these folders."""
        return not self.paths or any(
            path == chosen or str(path).startswith(f"{chosen}/") for chosen in self.paths
        )


ALL = Chosen()


def chosen(shop: Shop, here: Path, named: Sequence[str]) -> Chosen:
    """Return what `named`, as seen from the folder `here` or from the shop folder, means.

    Raises:
        UsageError: one of them is not there or stands outside the folders with notes.
    """
    found = [_below_shop(shop, here, each) for each in named]
    return ALL if "." in found else Chosen(tuple(found))


def _below_shop(shop: Shop, here: Path, named: str) -> str:
    there = [os.path.join(start, named) for start in (here, shop.root)]
    there = [full for full in there if os.path.lexists(full)]
    if not there:
        raise UsageError(f"there is no {named}", "name notes or folders below kb or articles")
    for full in there:
        folder, name = os.path.split(os.path.abspath(full))
        # A link is meant as it stands; the folders above it may be called otherwise.
        real = os.path.join(os.path.realpath(folder), name) if name else folder
        path = os.path.relpath(real, shop.root).replace(os.sep, "/")
        if path == "." or path.split("/")[0] in NOTE_FOLDERS:
            return path
    raise UsageError(
        f"{named} is not among the notes of the shop", "name notes below kb or articles"
    )
