"""What of the index in force is sound, and so can be built upon."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from benchlore.errors import IndexDamaged, IndexForeign, IndexMissing, IndexNewer
from benchlore.index.manifest import Manifest, Sealed, read_manifest, verify
from benchlore.index.store import Store
from benchlore.index.stored import StoredFile


@dataclass(frozen=True, slots=True)
class Base:
    """The index before a build; a part is None where it is missing or damaged."""

    manifest: Manifest | None = None
    store: Path | None = None
    vectors: Sealed | None = None
    encoder: Sealed | None = None
    tokenizer: Sealed | None = None

    def stored_files(self) -> dict[str, StoredFile]:
        """The note files that the store knows, by path."""
        if self.store is None:
            return {}
        with Store(self.store) as store:
            return {stored.path: stored for stored in store.files()}


def sound_base(folder: Path) -> Base:
    """Find out what of the index in `folder` can be built upon, by its checksums.

    Raises:
        IndexNewer: it was made by a newer benchlore and must be left alone.
    """
    try:
        manifest = read_manifest(folder, shop=None)
    except IndexNewer:
        raise
    except (IndexMissing, IndexDamaged, IndexForeign):
        return Base()

    def sound(sealed: Sealed | None) -> Sealed | None:
        try:
            return sealed if sealed and verify(folder, sealed) else None
        except IndexDamaged:
            return None

    store = sound(manifest.store)
    return Base(
        manifest,
        folder / store.file if store else None,
        sound(manifest.vectors) if store else None,
        sound(manifest.encoder),
        sound(manifest.tokenizer),
    )
