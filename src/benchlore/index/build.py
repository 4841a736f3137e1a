"""`benchlore build`: from the notes on disk to an index that is in force."""

from __future__ import annotations

import errno
import shutil
import sqlite3
import time
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from benchlore import __version__
from benchlore.errors import ModelError, NotWritten, ShopError
from benchlore.index import folder as index_folder
from benchlore.index.base import sound_base
from benchlore.index.encoded import EncodedSoFar
from benchlore.index.encoder import Encoder
from benchlore.index.encoding import SealedVectors, add_missing_vectors, is_fresh_enough, make_faiss
from benchlore.index.files import Listing, Trouble, list_notes, read_content, reason
from benchlore.index.manifest import SCHEMA, Manifest, Sealed, seal, write_manifest
from benchlore.index.model_files import verified_model, wanted_sha256
from benchlore.index.mounts import is_on_network
from benchlore.index.passages import cut
from benchlore.index.plan import Plan, compare
from benchlore.index.progress import Progress, Report
from benchlore.index.store import Store
from benchlore.index.stored import StoredFile
from benchlore.index.writing import ReadNote, StoreWriter
from benchlore.language.vocabulary import of_shop
from benchlore.notes import NotText, read_note
from benchlore.shop import NOTE_FOLDERS, Shop

REPORT_EVERY_S = 0.1


@dataclass(frozen=True, slots=True)
class BuildResult:
    """What a build did, and what needs a look.

    Attributes:
        notes, passages: how many the index now holds.
        read, removed: notes that were new or changed, and that are gone.
        encoded: texts that went through the sentence model.
        troubles: files that were left out or not read again.
        no_model: why the index has no vectors, empty when it has.
        published: a new index is in force.
        warning: something that is said once, when an index is first made; else empty.
        seconds: time it took.
    """

    notes: int
    passages: int
    read: int = 0
    removed: int = 0
    encoded: int = 0
    troubles: tuple[Trouble, ...] = ()
    no_model: str = ""
    published: bool = False
    warning: str = ""
    seconds: float = 0.0


@dataclass(frozen=True, slots=True)
class _Model:
    """The exported encoder of the new index; `why_not` says why there is none."""

    encoder: Sealed | None = None
    tokenizer: Sealed | None = None
    max_tokens: int = 0
    sha256: str = ""
    why_not: str = ""


def build(shop: Shop, report: Report, accept_empty: bool = False) -> BuildResult:
    """Bring the index of `shop` up to date with its notes and put it in force.

    Only changed notes are cut into passages and only texts without a vector are encoded. The index
    before stays in force until the new one is whole; after an interruption at any moment nothing
    has to be repaired, and the vectors made so far are used by the next build.

    Raises:
        Busy: another benchlore is building.
        IndexNewer: the index is of a newer benchlore; it is left alone.
        ShopError: all case notes are gone, but the index knows some (see `accept_empty`).
        UsageError: the index folder is somebody else's.
        NotWritten: the disk is full or refuses, or memory is short; the index before is in force.
    """
    started = time.monotonic()
    index_folder.prepare(shop.index)
    with index_folder.locked(shop.index):
        try:
            result = _Build(shop, report).run(accept_empty)
        except sqlite3.OperationalError as error:
            raise _not_written(shop, str(error), "full" in str(error)) from error
        except OSError as error:
            full = error.errno in (errno.ENOSPC, errno.EDQUOT)
            raise _not_written(shop, error.strerror or str(error), full) from error
        except MemoryError as error:
            raise _not_written(shop, "not enough memory", is_full=False) from error
    return replace(result, seconds=time.monotonic() - started)


def _not_written(shop: Shop, why: str, is_full: bool) -> NotWritten:
    if is_full:
        held = sum(file.stat().st_size for file in shop.index.iterdir() if file.is_file())
        why = f"disk full; the index needs about {max(held // 1_000_000, 100)} MB more"
    return NotWritten(f"index not written: {why}", "the index before it is in force")


def _refuse_emptied(listing: Listing, stored: Collection[str], plan: Plan) -> None:
    """Notes that are all gone at once are more often a share that is offline than deleted."""
    cases = f"{NOTE_FOLDERS[0]}/"
    for place, start in (("kb/ and articles/ are", ""), (f"{cases} is", cases)):
        known = sum(path.startswith(start) for path in stored)
        gone = sum(path.startswith(start) for path in plan.gone)
        if gone and gone == known and not any(f.path.startswith(start) for f in listing.files):
            raise ShopError(
                f"{place} empty, the index knows {known} {'note' if known == 1 else 'notes'}"
                f"{' there' if start else ''}: nothing removed",
                "bring the notes back, or benchlore build --accept-empty",
            )


def _warning(folder: Path) -> str:
    """What is to be known about a folder in which an index is first made."""
    if not is_on_network(folder):
        return ""
    return (
        f"{folder} is on a network share: slower, and two computers must not build there at once; "
        "name a folder of this computer with --index"
    )


class _Build:
    """One run; the lock is held and the folder is ours."""

    def __init__(self, shop: Shop, report: Report) -> None:
        self._shop = shop
        self._folder = shop.index
        self._report = report
        self._base = sound_base(self._folder)
        before = self._base.manifest
        self._generation = before.generation + 1 if before else 1
        self._vocabulary = of_shop(shop.settings.vocabulary)

    def run(self, accept_empty: bool) -> BuildResult:
        self._report(Progress("looking for changed notes"))
        before = self._base.manifest
        stored = self._base.stored_files()
        listing = list_notes(self._shop.root)
        # Other words for conditions and parts: what is kept of every note is out of date.
        reworded = before is not None and before.vocabulary != self._vocabulary.fingerprint()
        plan = compare(self._shop.root, listing, stored, every=reworded)
        if not accept_empty:
            _refuse_emptied(listing, stored, plan)
        if self._is_current(plan, stored):
            return self._unchanged()
        index_folder.sweep(self._folder, self._base.manifest)
        return self._publish(plan, self._model())

    def _is_current(self, plan: Plan, stored: Mapping[str, StoredFile]) -> bool:
        base, before = self._base, self._base.manifest
        if before is None or not (base.store and base.vectors and base.encoder and base.tokenizer):
            return False
        if before.model_sha256 != wanted_sha256(self._shop.settings):
            return False
        if before.shop != str(self._shop.root) or plan.differs_from(stored):
            return False
        with Store(base.store) as store:
            unreadable = {t for t in store.troubles() if t.path not in stored}
        return unreadable >= set(plan.troubles) - {t for t in plan.troubles if t.path in stored}

    def _unchanged(self) -> BuildResult:
        assert self._base.store is not None
        with Store(self._base.store) as store:
            return BuildResult(
                store.note_count(), store.passage_count(), troubles=tuple(store.troubles())
            )

    def _model(self) -> _Model:
        """The base's exported encoder where it is of the wanted model, else a new export."""
        base, before = self._base, self._base.manifest
        wanted = wanted_sha256(self._shop.settings)
        if before and base.encoder and base.tokenizer and before.model_sha256 == wanted:
            return _Model(base.encoder, base.tokenizer, before.max_tokens, wanted)
        encoder = f"encoder-{self._generation}.onnx"
        tokenizer = f"tokenizer-{self._generation}.json"
        try:
            files = verified_model(self._shop.settings)
            self._report(Progress("preparing the sentence model (only once, about 15 s)"))
            # Imported here: it loads torch, which only this export needs.
            from benchlore.index.export import export_encoder

            export_encoder(files, self._folder / encoder, self._folder / tokenizer)
        except ModelError as error:
            return _Model(why_not=str(error))
        return _Model(
            seal(self._folder, encoder),
            seal(self._folder, tokenizer),
            files.max_tokens,
            files.sha256,
        )

    def _publish(self, plan: Plan, model: _Model) -> BuildResult:
        work = self._folder / index_folder.WORK_STORE
        if self._base.store:
            shutil.copyfile(self._base.store, work)
        with StoreWriter(work, self._vocabulary) as writer:
            troubles = self._write_notes(writer, plan)
            encoded, vectors = self._write_vectors(writer, model)
            if vectors is not None:
                troubles = (*troubles, *writer.without_vector())
                writer.set_troubles(troubles)
            notes, passages = writer.note_count(), writer.passage_count()
        self._report(Progress("putting the index in force"))
        store = f"store-{self._generation}.sqlite"
        work.replace(self._folder / store)
        manifest = Manifest(
            schema=SCHEMA,
            version=__version__,
            shop=str(self._shop.root),
            generation=self._generation,
            store=seal(self._folder, store),
            vectors=vectors.sealed if vectors else None,
            vectors_newest=vectors.newest if vectors else 0,
            vectors_count=vectors.count if vectors else 0,
            encoder=model.encoder,
            tokenizer=model.tokenizer,
            max_tokens=model.max_tokens,
            model_sha256=model.sha256,
            no_model=model.why_not,
            vocabulary=self._vocabulary.fingerprint(),
        )
        write_manifest(self._folder, manifest)
        # The index before stays for programs that have read its manifest but not yet its files.
        index_folder.sweep(self._folder, manifest, self._base.manifest)
        (self._folder / index_folder.ENCODED).unlink(missing_ok=True)
        return BuildResult(
            notes,
            passages,
            read=len(plan.fresh),
            removed=len(plan.gone),
            encoded=encoded,
            troubles=troubles,
            no_model=model.why_not,
            published=True,
            warning="" if self._base.manifest else _warning(self._folder),
        )

    def _write_notes(self, writer: StoreWriter, plan: Plan) -> tuple[Trouble, ...]:
        troubles = list(plan.troubles)
        writer.forget(plan.gone)
        for path, why in plan.unread.items():
            writer.keep_unread(path, why)
        reported = 0.0
        for done, path in enumerate(plan.fresh):
            if time.monotonic() - reported > REPORT_EVERY_S:
                reported = time.monotonic()
                self._report(Progress("reading notes", done, len(plan.fresh)))
            try:
                content = read_content(self._shop.root, path)
                note = read_note(path, content.data, content.size)
            except OSError as error:
                troubles.append(Trouble(path, reason(error), "not read"))
            except NotText as error:
                writer.forget([path])
                troubles.append(Trouble(path, str(error), error.todo))
            else:
                writer.add(ReadNote(note, content, tuple(cut(note))))
        writer.finish()
        writer.set_troubles(troubles)
        return tuple(troubles)

    def _write_vectors(
        self, writer: StoreWriter, model: _Model
    ) -> tuple[int, SealedVectors | None]:
        before = self._base.manifest
        if before is None or before.model_sha256 != model.sha256:
            writer.drop_vectors()
        else:
            writer.drop_unused_vectors()
        if model.encoder is None or model.tokenizer is None:
            return 0, None
        encoder = Encoder(
            self._folder / model.encoder.file, self._folder / model.tokenizer.file, model.max_tokens
        )
        so_far = EncodedSoFar(self._folder / index_folder.ENCODED, model.sha256)
        try:
            encoded = add_missing_vectors(writer, encoder, so_far, self._report)
        finally:
            so_far.close()
        writer.add_note_vectors()
        if before and self._base.vectors and before.model_sha256 == model.sha256:
            old = SealedVectors(self._base.vectors, before.vectors_newest, before.vectors_count)
            if is_fresh_enough(writer, old):
                return encoded, old
        name = f"vectors-{self._generation}.faiss"
        return encoded, make_faiss(writer, encoder.dimensions, self._folder, name)
