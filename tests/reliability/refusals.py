"""System calls of a save that fail: the note is old or new, whole, and what is said is true."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from tests.reliability import injecting, saving
from tests.reliability.injecting import Ended, Point
from tests.reliability.kills import points_of_a_save, saving_command

from benchlore.errors import NOT_WRITTEN

ERRORS = {
    "ENOSPC": "disk full",
    "EIO": "the disk reported an error",
    "EACCES": "not allowed",
    "EROFS": "the folder is read-only",
    "EDQUOT": "no space left for this user",
}
"""Errors, and what is said of each."""

CALLS = {"open": "openat", "write": "write", "fsync": "fsync", "rename": "rename",
         "unlink": "unlink", "link": "link"}  # fmt: skip
"""The calls by their usual names, and as Python makes them on Linux."""


@dataclass(frozen=True, slots=True)
class Refusal:
    """One failed call of a save, and how it ended."""

    kind: str
    call: str
    number: int
    error: str
    lasting: bool
    ended: Ended
    state: str
    temporary: int

    @property
    def where(self) -> str:
        lasting = " and all later" if self.lasting else ""
        return f"{self.kind} save, {self.call} number {self.number}{lasting}: {self.error}"


def refusals(
    root: Path, first: int | None = 3, lasting: Iterable[bool] = (False,)
) -> Iterable[Refusal]:
    """Fail the `first` calls of each sort (None: all of them) in saves of every kind."""
    for kind in saving.KINDS:
        points = points_of_a_save(kind, root)
        for name, call in CALLS.items():
            of_call = [point for point in points if point.call == call]
            for number, point in enumerate(of_call[:first], start=1):
                for error in ERRORS:
                    for stays in lasting:
                        yield _refused(root, kind, name, number, point, error, stays)


def _refused(
    root: Path, kind: str, name: str, number: int, point: Point, error: str, lasting: bool
) -> Refusal:
    saving.prepare(kind, root)
    command = saving_command("save", kind, root)
    ended = injecting.refused_at(point, error, command, lasting, "access")
    left = [path for path in (root / saving.NAME).parent.iterdir() if path.name.startswith(".")]
    return Refusal(kind, name, number, error, lasting, ended, saving.state(root), len(left))


def wrong(refusal: Refusal) -> str:
    """What a refused save did wrong, or ''."""
    ended, said = refusal.ended, refusal.ended.stderr
    if not ended.bitten:
        return "the call did not fail"
    if "Traceback" in said or ended.code not in (0, NOT_WRITTEN):
        return f"exit code {ended.code}: {said.strip()[-200:]}"
    if refusal.state not in saving.allowed(refusal.kind):
        return f"the note is {refusal.state}"
    if ended.code == 0 and refusal.state != "new":
        return "it said saved, but was not"
    if ended.code and said.startswith("not saved") and refusal.state == "new":
        return "it said not saved, but was"
    if ended.code and not refusal.lasting and ERRORS[refusal.error] not in said:
        return f"it said {said.strip()!r}"
    if refusal.temporary and refusal.call != "unlink":
        return "a temporary file is left"
    return ""


def counted(done: Iterable[Refusal]) -> Counter[str]:
    """Count refusals: `tried`, `wrong`, and how they ended."""
    counts: Counter[str] = Counter()
    for refusal in done:
        counts["tried"] += 1
        counts["wrong"] += bool(wrong(refusal))
        counts["saved" if refusal.ended.code == 0 else "not saved"] += 1
    return counts
