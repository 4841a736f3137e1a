"""Drafts outlive the program, and are nobody else's."""

from __future__ import annotations

import datetime
import json
import os
import stat
from pathlib import Path

import pytest

from benchlore.errors import NotWritten
from benchlore.keeping.drafts import DraftKeeper, drafts_folder, drafts_of


def at(minute: int) -> datetime.datetime:
    return datetime.datetime(2026, 1, 1, 10, minute)


def test_a12_a_draft_is_found_again_with_all_that_was_typed(tmp_path: Path) -> None:
    keeper = DraftKeeper(tmp_path, "kb/a.md", b"old \xff")
    keeper.keep({"symptom": "hums"}, "", at(1))
    keeper.keep({"symptom": "hums above 50", "checks": [{"check": "play"}]}, "told", at(2))
    (draft,) = drafts_of(tmp_path)
    assert draft.fields == {"symptom": "hums above 50", "checks": [{"check": "play"}]}
    assert (draft.path, draft.base, draft.body) == ("kb/a.md", b"old \xff", "told")
    assert draft.saved_at == at(2)
    keeper.drop()
    assert drafts_of(tmp_path) == ()


def test_the_newest_comes_first_and_other_shops_have_their_own(tmp_path: Path) -> None:
    for minute, shop in ((1, "a"), (3, "a"), (2, "b")):
        DraftKeeper(tmp_path / shop).keep({}, "", at(minute))
    assert [draft.saved_at for draft in drafts_of(tmp_path / "a")] == [at(3), at(1)]


def test_going_on_with_a_draft_makes_no_second_one(tmp_path: Path) -> None:
    DraftKeeper(tmp_path).keep({"symptom": "hums"}, "", at(1))
    DraftKeeper.going_on(drafts_of(tmp_path)[0]).keep({"symptom": "hums more"}, "", at(2))
    assert [draft.fields["symptom"] for draft in drafts_of(tmp_path)] == ["hums more"]


def draft_of(**changes: object) -> bytes:
    """A draft's file with something else in it."""
    table = {"kind": "benchlore draft", "shop": "/s", "path": "", "base": "", "fields": {},
             "body": "", "saved_at": "2026-01-01T10:00:00"}  # fmt: skip
    return json.dumps({**table, **changes}).encode()


@pytest.mark.parametrize(
    "data",
    [b"", b"{", b"[]", b"null", b'{"kind": "benchlore draft"}', b"\xff", b"[" * 100_000,
     draft_of(shop=1), draft_of(fields=[]), draft_of(kind="other"), draft_of(path="kb/\0"),
     draft_of(saved_at=1e300), draft_of(saved_at="9" * 400), draft_of(saved_at="NaN"),
     draft_of(base="\u00e9"), draft_of(body=None)],
)  # fmt: skip
def test_a_file_that_is_no_draft_is_passed_over(tmp_path: Path, data: bytes) -> None:
    DraftKeeper(tmp_path).keep({"symptom": "hums"}, "", at(1))
    (drafts_folder() / "other.json").write_bytes(data)
    assert len(drafts_of(tmp_path)) == 1


def test_a_draft_is_for_its_user_only(tmp_path: Path) -> None:
    keeper = DraftKeeper(tmp_path)
    keeper.keep({}, "", at(1))
    assert stat.S_IMODE(keeper.file.parent.stat().st_mode) == 0o700
    assert stat.S_IMODE(keeper.file.stat().st_mode) == 0o600


def test_f04_where_no_draft_can_be_kept_it_is_said_where(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("BENCHLORE_DRAFTS", str(tmp_path / "file" / "drafts"))
    with pytest.raises(NotWritten, match=r"no draft can be kept in .*file"):
        DraftKeeper(tmp_path).keep({}, "", at(1))
    assert drafts_of(tmp_path) == ()


def test_f04_without_a_home_there_is_a_folder_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("BENCHLORE_DRAFTS", "HOME", "XDG_STATE_HOME"):
        monkeypatch.delenv(name, raising=False)
    assert drafts_folder().is_absolute()
    assert os.fspath(drafts_folder()).endswith("drafts")


def test_f04_a_drafts_folder_of_nobody_is_a_folder_all_the_same(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("BENCHLORE_DRAFTS", "~nobody-of-that-name/drafts")
    assert drafts_folder().name == "drafts"
