"""Whether notes have changed since the index was built, without building it."""

from __future__ import annotations

from benchlore.index.files import list_notes, read_content
from benchlore.index.store import Store
from benchlore.shop import Shop


def changed_since(shop: Shop, store: Store) -> str:
    """Say how many notes differ from the index, `3 notes changed since the index was built`, or ''.

    Only files whose size or time differ are read: a hint need not be as sure as a build.
    """
    stored = {file.path: file for file in store.files()}
    count = 0
    for found in list_notes(shop.root).files:
        known = stored.pop(found.path, None)
        if known is None:
            count += 1
        elif (known.size, known.mtime_ns) != (found.size, found.mtime_ns):
            try:
                count += read_content(shop.root, found.path).digest != known.digest
            except OSError:
                count += not known.unread
    count += len(stored)
    if not count:
        return ""
    return f"{count} {'note' if count == 1 else 'notes'} changed since the index was built"
