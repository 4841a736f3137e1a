"""One import into a shop at a time: two at once would each find a row missing and write it."""

from __future__ import annotations

import contextlib
import hashlib
import os
from collections.abc import Iterator
from pathlib import Path

import filelock

from benchlore.errors import Busy
from benchlore.keeping.drafts import drafts_folder


@contextlib.contextmanager
def one_import(shop_root: Path) -> Iterator[None]:
    """Hold the place of the one importer of this user on this computer.

    The lock lies beside the user's drafts, outside the shop, and goes with its process. Where no
    file can be written there, the import goes on without it.

    Raises:
        Busy: another import into the same shop runs.
    """
    name = hashlib.sha256(os.fsencode(os.path.realpath(shop_root))).hexdigest()[:16]
    folder = drafts_folder()
    lock = filelock.FileLock(folder / f"import-{name}.lock")
    try:
        folder.mkdir(parents=True, exist_ok=True)
        lock.acquire(timeout=0)
    except filelock.Timeout:
        raise Busy(
            "another import into this shop is running", "wait for it, then try again"
        ) from None
    except (OSError, NotImplementedError):
        pass
    try:
        yield
    finally:
        lock.release()
