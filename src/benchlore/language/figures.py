"""Numbers in a text: which axis they belong to, and the range they mean.

The words around a number decide ("Numbers in the rpm axis" of the trade reference): `3k`, `from
50`, `60-65 mph`, `1500ish`, `first 30 s`, `below 0 C`, `after 20 minutes`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from benchlore.language import units
from benchlore.language.scanning import Token
from benchlore.language.spans import ABOUT
from benchlore.language.vocabulary import Vocabulary

_ONES = "zero one two three four five six seven eight nine ten eleven twelve"
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety hundred"
NUMBER_WORDS: dict[str, float] = {
    **{word: float(value) for value, word in enumerate(_ONES.split())},
    **{word: 10.0 * value for value, word in enumerate(_TENS.split(), 2)},
    "fifteen": 15.0,
    "half": 0.5,
    "couple": 2.0,
    "few": 4.0,
}

_SIGNS = {"above": ">", "from": ">=", "below": "<", "upto": "<="}
_BEFORE = frozenset((*_SIGNS, "about", "at", "between"))
_DASHES = ("-", "\N{EN DASH}")


@dataclass(frozen=True, slots=True)
class Figure:
    """A number or range as written, before it is given to an axis.

    Attributes:
        first, last: token numbers, `last` excluded.
        sign: "", "<", "<=", ">" or ">=".
        low, high: the numbers as said; `high` is None for one number.
        kind, head: of the unit, both "" without one (see `units.SPELLINGS`).
        cued: a word such as "at", "above" or "about" stands with it.
        loose: `about` or `-ish`: 10 % either side.
    """

    first: int
    last: int
    sign: str
    low: float
    high: float | None
    kind: str
    head: str
    cued: bool = False
    loose: bool = False

    @property
    def ends(self) -> tuple[float, float]:
        """Lowest and highest number meant, in the unit said."""
        high = self.low if self.high is None else self.high
        room = ABOUT if self.loose else 0.0
        spread = (self.low - abs(self.low) * room, high + abs(high) * room)
        if self.sign.startswith("<"):
            return (float("-inf"), high)
        return (self.low, float("inf")) if self.sign else spread


class Figures:
    """Finds figures in tokens."""

    def __init__(self, tokens: Sequence[Token], vocabulary: Vocabulary, text: str) -> None:
        self._tokens = tokens
        self._words = vocabulary.figures
        self._text = text
        self._starts = self._words.starts | NUMBER_WORDS.keys() | {"a", "an"}

    def at(self, place: int) -> Figure | None:
        """Return the figure that starts at token `place`, cue words included, or None."""
        token = self._tokens[place]
        if token.kind != "number" and token.text not in self._starts:
            return None
        sign, cued, loose, here = self._before(place)
        found = self._number(here, spelled=cued)
        if found is None:
            return None
        low, here = found
        kind, head, here = self._unit(here)
        high = None
        joined = self._second(here, low, cued)
        if joined is not None:
            high, here = joined
            later_kind, later_head, here = self._unit(here)
            if later_kind:
                kind, head = (
                    (kind, head) if kind and later_kind != kind else (later_kind, later_head)
                )
        if high is not None and high < low:
            low, high = high, low
        figure = Figure(
            place, here, "" if high is not None else sign, low, high, kind, head, cued, loose
        )
        return self._thousands(self._after(figure))

    def _before(self, place: int) -> tuple[str, bool, bool, int]:
        """Read "above", "about", "at" before a number: sign, cued, loose, next token."""
        sign, cued, loose, here = "", False, False, place
        for _ in range(3):
            end, meanings = self._words.longest(self._tokens, here)
            kinds = [kind for kind, _ in meanings if kind in _BEFORE]
            if end == here or not kinds:
                break
            here, cued = end, True
            for kind in kinds:
                sign = _SIGNS.get(kind, "") or sign
                loose = loose or kind == "about"
        while cued and here < len(self._tokens) and self._tokens[here].text in ("a", "the"):
            here += 1
        return sign, cued, loose, here

    def _number(self, place: int, *, spelled: bool) -> tuple[float, int] | None:
        if place >= len(self._tokens):
            return None
        token = self._tokens[place]
        if token.kind == "number":
            if self._part_of_a_code(place):
                return None
            return token.value, place + 1
        if token.text in NUMBER_WORDS or token.text == "an" or token.text == "a":
            value, here = NUMBER_WORDS.get(token.text, 1.0), place + 1
            if token.text == "half" and here < len(self._tokens):
                here += self._tokens[here].text in ("a", "an")
            elif token.text in ("couple", "few") and here < len(self._tokens):
                here += self._tokens[here].text == "of"
            kind = self._unit(here)[0]
            if kind in ("time", "distance", "thousand", "rpm thousand") or (
                kind == "speed" and token.text not in ("a", "an")
            ):
                return value, here
            if spelled and value >= 20:
                return value, here
        return None

    def _part_of_a_code(self, place: int) -> bool:
        """Say whether the number is glued to letters before it: HD22, 6203-2RS."""
        token = self._tokens[place]
        before = self._text[max(0, token.start - 1) : token.start]
        return before.isalpha() or before in ("/", "_", "#", "\N{POUND SIGN}", "$", "\N{EURO SIGN}")

    def _unit(self, place: int) -> tuple[str, str, int]:
        words = []
        for token in self._tokens[place : place + units.LONGEST]:
            if token.kind != "word":
                break
            words.append(token.text)
        if words and words[0] == "a" and len(words) > 1 and self._spaced(place):
            return "", "", place  # "at 60 a hum": the article, not ampere
        for size in range(len(words), 0, -1):
            found = units.SPELLINGS.get(" ".join(words[:size]))
            if found is not None:
                return *found, place + size
        return "", "", place

    def _spaced(self, place: int) -> bool:
        return place > 0 and self._tokens[place - 1].end < self._tokens[place].start

    def _second(self, place: int, low: float, cued: bool) -> tuple[float, int] | None:
        """Read the second number of `60-65`, `60 to 65`, `between 60 and 65`."""
        if place >= len(self._tokens):
            return None
        token = self._tokens[place]
        if token.kind == "number":
            gap = self._text[self._tokens[place - 1].end : token.start].strip()
            if token.value < 0 and not gap:
                token = replace(token, value=-token.value)
                gap = "-"
            if gap in ("-", "\N{EN DASH}", "..") and token.value > low:
                return token.value, place + 1
            return None
        joins = {"to", *(["and"] if cued else []), *(["or"] if self._counts(place + 1) else [])}
        if token.kind == "clause" and token.text in _DASHES:  # "50 - 60 mph"
            found = self._number(place + 1, spelled=False)
            unit = self._unit(found[1])[0] if found is not None else ""
            return found if found is not None and unit and found[0] > low else None
        if token.text in joins:
            found = self._number(self._past_about(place + 1), spelled=True)
            if found is not None and found[0] != low:
                return found
        if token.text in ("down", "up") and self._word(place + 1) == "to":  # "60 down to 40"
            return self._number(self._past_about(place + 2), spelled=True)
        return None

    def _past_about(self, place: int) -> int:
        end, meanings = self._words.longest(self._tokens, place)
        return end if any(kind == "about" for kind, _ in meanings) else place

    def _counts(self, place: int) -> bool:
        """Say whether a number with its unit stands at `place`: "two or three minutes"."""
        found = self._number(place, spelled=True)
        return found is not None and self._unit(found[1])[0] in ("time", "distance", "speed")

    def _word(self, place: int) -> str:
        return self._tokens[place].text if place < len(self._tokens) else ""

    def _after(self, figure: Figure) -> Figure:
        """Read "and up", "or so", "ish" after a number."""
        end, meanings = self._words.longest(self._tokens, figure.last)
        kinds = {kind for kind, _ in meanings}
        if "or-so" in kinds:
            return replace(figure, last=end, loose=True, cued=True)
        if "and-up" in kinds and figure.high is None:
            return replace(figure, last=end, sign=">=", cued=True)
        if "and-down" in kinds and figure.high is None:
            return replace(figure, last=end, sign="<=", cued=True)
        return figure

    @staticmethod
    def _thousands(figure: Figure) -> Figure:
        """Turn `3k` to 3000; `2-3k` to 2000..3000."""
        if figure.kind not in ("thousand", "rpm thousand"):
            return figure
        low = figure.low * 1000 if figure.low < 100 else figure.low
        high = figure.high
        if high is not None and high < 100:
            high *= 1000
        kind = "rpm" if figure.kind.startswith("rpm") else "thousand"
        return replace(figure, low=low, high=high, kind=kind, head="")
