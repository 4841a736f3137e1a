"""The question sets of two shops: questions, their cases, pairs to be ordered.

`demo` is the demo shop. `coast` is another invented workshop, by other authors who saw neither the
demo notes nor its questions; its notes lie beside its questions.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

DATA = Path(__file__).parent / "search" / "data"
QUESTIONS = {"demo": DATA / "questions.toml", "coast": DATA / "coast" / "questions.toml"}
ROOTS = {"demo": Path(__file__).parents[1], "coast": DATA / "coast"}
"""The folders of the shops."""

WITHOUT_ANSWER = ("far", "offtopic")


@dataclass(frozen=True, slots=True)
class Judged:
    """A question with its judgements.

    Attributes:
        kind: plain, paraphrase, polarity, slang, code, units, far or offtopic.
        half: "fit" may be used to fit weights, "held" is kept back; families are never split.
        close, related: files of the cases that are the answer, or worth reading.
        before: pairs of files of which the first must come first.
    """

    id: str
    kind: str
    half: str
    family: str
    text: str
    close: tuple[str, ...] = ()
    related: tuple[str, ...] = ()
    before: tuple[tuple[str, str], ...] = ()

    def grade(self, file: str) -> int:
        """2 close, 1 related, 0 neither."""
        return 2 if file in self.close else int(file in self.related)

    @property
    def has_answer(self) -> bool:
        return self.kind not in WITHOUT_ANSWER


@cache
def questions(half: str = "", shop: str = "demo") -> tuple[Judged, ...]:
    """All questions about a shop, or those of one half."""
    table = tomllib.loads(QUESTIONS[shop].read_text("utf-8"))
    read = [
        Judged(
            **{
                **each,
                "close": tuple(each.get("close", ())),
                "related": tuple(each.get("related", ())),
                "before": tuple((a, b) for a, b in each.get("before", ())),
            }
        )
        for each in table["question"]
    ]
    return tuple(each for each in read if not half or each.half == half)
