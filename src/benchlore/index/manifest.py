"""The manifest: which files make up the index, and the SHA-256 that each must have.

An index is a set of files that are never changed once the manifest names them. A build makes new
files beside them and then replaces the manifest, in one rename; whoever reads sees the old index or
the new one, whole. Checksums are compared before anything is loaded, because SQLite, FAISS and
onnxruntime all load files with flipped bits as if they were sound.
"""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from dataclasses import asdict, dataclass
from pathlib import Path

from benchlore.errors import IndexDamaged, IndexForeign, IndexMissing, IndexNewer, NotWritten

SCHEMA = 4
"""Raised whenever what is stored, or how it is made from a note, changes."""

MANIFEST = "manifest"
REBUILD = "benchlore build makes it again from the notes"


@dataclass(frozen=True, slots=True)
class Sealed:
    """A file of the index: its name in the index folder, its SHA-256 and its size in bytes."""

    file: str
    sha256: str
    size: int


@dataclass(frozen=True, slots=True)
class Manifest:
    """What the index consists of.

    Attributes:
        shop: the shop folder that it was made for, absolute.
        store: the SQLite file.
        vectors: the FAISS file; None when the index has no vectors (word search only).
        vectors_newest: the highest passage number in `vectors`; newer ones are in the store.
        vectors_count: how many passages `vectors` holds, those since deleted among them.
        encoder, tokenizer: the exported model; None when no model could be used.
        model_sha256: of the weights that `encoder` was exported from, empty without one.
        no_model: why there is no encoder, one line, empty where there is one.
        vocabulary: fingerprint of the vocabulary that the notes were read with.
    """

    schema: int
    version: str
    shop: str
    generation: int
    store: Sealed
    vectors: Sealed | None = None
    vectors_newest: int = 0
    vectors_count: int = 0
    encoder: Sealed | None = None
    tokenizer: Sealed | None = None
    max_tokens: int = 0
    model_sha256: str = ""
    no_model: str = ""
    vocabulary: str = ""

    def files(self) -> list[Sealed]:
        named = (self.store, self.vectors, self.encoder, self.tokenizer)
        return [sealed for sealed in named if sealed is not None]


def seal(folder: Path, name: str) -> Sealed:
    """Return the seal of `folder / name` as it is now. Raises OSError when it cannot be read."""
    path = folder / name
    with path.open("rb") as file:
        digest = hashlib.file_digest(file, "sha256").hexdigest()
    return Sealed(name, digest, path.stat().st_size)


def verify(folder: Path, sealed: Sealed) -> Path:
    """Return the path of a sealed file after comparing its bytes with its seal.

    Raises:
        IndexDamaged: it is missing, cannot be read or is not what the build wrote.
    """
    try:
        if seal(folder, sealed.file) == sealed:
            return folder / sealed.file
    except OSError as error:
        raise IndexDamaged(f"index damaged: {sealed.file} is not readable", REBUILD) from error
    raise IndexDamaged(f"index damaged: {sealed.file} is not what was written", REBUILD)


def read_manifest(folder: Path, shop: Path | None) -> Manifest:
    """Read the manifest of the index in `folder`, which must be for `shop` where one is given.

    Raises:
        IndexMissing: there is none.
        IndexDamaged: its bytes are not what was written.
        IndexForeign: it is for another shop folder or of an older schema.
        IndexNewer: it is of a newer schema.
    """
    try:
        data = (folder / MANIFEST).read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        raise IndexMissing("no index yet", "benchlore build makes it") from None
    except OSError as error:
        raise IndexDamaged(f"index damaged: {MANIFEST} is not readable", REBUILD) from error
    body, _, digest = data.rstrip(b"\n").rpartition(b"\n")
    if hashlib.sha256(body).hexdigest().encode() != digest:
        raise IndexDamaged(f"index damaged: {MANIFEST} is not what was written", REBUILD)
    table = json.loads(body)
    if table["schema"] > SCHEMA:
        raise IndexNewer(
            f"the index was made by a newer benchlore ({table['version']})",
            "use that version, or name another folder with --index",
        )
    if table["schema"] < SCHEMA:
        raise IndexForeign(f"the index was made by benchlore {table['version']}", REBUILD)
    if shop is not None and table["shop"] != os.fsencode(shop).hex():
        made_for = os.fsdecode(bytes.fromhex(table["shop"]))
        raise IndexForeign(f"the index was made for {made_for}", REBUILD)
    return _from_table(table)


def _from_table(table: dict[str, object]) -> Manifest:
    fields = dict(table)
    for name in ("store", "vectors", "encoder", "tokenizer"):
        value = fields[name]
        fields[name] = Sealed(**value) if isinstance(value, dict) else None
    fields["shop"] = os.fsdecode(bytes.fromhex(str(fields["shop"])))
    return Manifest(**fields)  # type: ignore[arg-type]  # checked by its SHA-256


def write_manifest(folder: Path, manifest: Manifest) -> None:
    """Make `manifest` the index's, atomically and durably.

    Raises:
        NotWritten: it could not be written; the manifest before it is in force.
    """
    table = asdict(manifest)
    table["shop"] = os.fsencode(manifest.shop).hex()  # a path need not be UTF-8
    body = json.dumps(table, indent=None, sort_keys=True).encode()
    data = body + b"\n" + hashlib.sha256(body).hexdigest().encode() + b"\n"
    temp = ""
    try:
        handle, temp = tempfile.mkstemp(prefix=".benchlore-", suffix=".tmp", dir=folder)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.replace(temp, folder / MANIFEST)
        _sync_folder(folder)
    except OSError as error:
        if temp and os.path.exists(temp):
            os.unlink(temp)
        raise NotWritten(
            f"the index could not be written: {error.strerror}", "the index before it is in force"
        ) from error


def _sync_folder(folder: Path) -> None:
    if os.name == "nt":  # a folder cannot be opened there
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
