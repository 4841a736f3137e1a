"""Tokens to items: conditions, cues, names and plain words, longest phrase first."""

from __future__ import annotations

from collections.abc import Sequence

from benchlore.language.figures import Figures
from benchlore.language.items import Item, Value
from benchlore.language.measures import Around, has_engine_words, measure
from benchlore.language.mending import mended
from benchlore.language.phrases import Meaning
from benchlore.language.scanning import Token
from benchlore.language.spans import BANDS
from benchlore.language.vocabulary import Vocabulary

_LEADING = frozenset(
    {
        "until",
        "only",
        "except",
        "unless",
        "onset",
        "back",
        "worse",
        "better",
        "gone",
        "almost",
        "then",
        "steady",
        "rather",
    }
)
_JOINED = {"when", "once", "from", "if", "is", "while", "on", "as", "at", "in", "under"}
_TRIED = "ran run took taken revved held wound tried revving rev test tested had got drove"
_REACHED = frozenset(_TRIED.split())
_OFF = frozenset({"off", "disconnected", "disengaged"})
_LINKS = _JOINED | {"been", "with", "engine", "off", "to", "over", "by", "using", "for"}
_PLACES = """
when once as with after on at if in above below over under off again completely by from while
during until till only and but or between altogether
"""
_WHEN = frozenset(_PLACES.split())
_SIDES = ("left", "right")
_LEAVING = frozenset({"goes", "stops", "go", "quits", "gone", "went", "quit", "stop"})
_FAILING = frozenset({"poor pull", "stall", "no start"})
_BOILING = ("boils", "overheats", "heads", "climbs", "creeps", "cooks", "shoots", "goes", "runs")
_PULLING = ("pull", "drift", "veer", "dart", "drag", "dive", "list", "lean", "crab")


class Lexer:
    """Reads one text's tokens into items."""

    def __init__(self, text: str, tokens: Sequence[Token], vocabulary: Vocabulary) -> None:
        self._text = text
        self._tokens = tokens
        self._vocabulary = vocabulary
        self._figures = Figures(tokens, vocabulary, text)
        self._items: list[Item] = []
        words = [token.text for token in tokens]
        self._engine = has_engine_words(words, vocabulary.engine_words)

    def items(self) -> list[Item]:
        """Return the items of the whole text, in order."""
        place = 0
        while place < len(self._tokens):
            item = self._next(place)
            self._items.append(item)
            place = item.last
        return mended(self._items)

    def _next(self, place: int) -> Item:
        token = self._tokens[place]
        if token.kind in ("sentence", "clause"):
            return self._item("stop", place, place + 1, tags=frozenset((token.kind,)))
        end, meanings = self._vocabulary.phrases.longest(self._tokens, place)
        if end > place + 1 and self._reaches_further(place, end, meanings):
            end, meanings = place + 1, (("cue", "glue"),)
        figure = self._figure(place, end)
        if figure is not None:
            return figure
        if token.text == "in" and end == place + 2 and self._counted(place + 1):
            return self._item("cue", place, place + 1, tags=frozenset({"glue"}))
        side = self._other_side(place) if end <= place + 1 else None
        if side is not None:
            return side
        if not meanings:
            return self._item("word", place, place + 1)
        return self._phrase(place, end, meanings)

    def _reaches_further(self, place: int, end: int, meanings: Sequence[Meaning]) -> bool:
        """Prefer "turning right" to "when turning": a phrase inside that goes on beyond it."""
        if self._tokens[place].text not in _LINKS or not any(k == "cond" for k, _ in meanings):
            return False
        for inside in range(place + 1, end):
            further, found = self._vocabulary.phrases.longest(self._tokens, inside)
            if further > end and any(kind in ("cond", "trap", "part") for kind, _ in found):
                return True
        return False

    def _counted(self, place: int) -> bool:
        """Say whether a number with a unit or a range stands there: "in 3 to 5 s" is no gear."""
        figure = self._figures.at(place)
        return figure is not None and (bool(figure.kind) or figure.high is not None)

    def _item(self, kind: str, first: int, last: int, **more: object) -> Item:
        start, end = self._tokens[first].start, self._tokens[last - 1].end
        return Item(kind, first, last, start, end, self._text[start:end], **more)  # type: ignore[arg-type]

    def _phrase(self, first: int, last: int, meanings: Sequence[Meaning]) -> Item:
        kinds = {kind for kind, _ in meanings}
        if "trap" in kinds or "part" in kinds:
            traps = {value for kind, value in meanings if kind == "trap"} & {"air"}
            return self._item("word", first, last, tags=frozenset({"trap", *traps}))
        values = tuple(
            Value(axis, name, BANDS.get((axis, name)))
            for kind, value in meanings
            if kind == "cond"
            for axis, _, name in (value.partition("."),)
        )
        values = self._after_what(first, last, values)
        names = tuple(value for kind, value in meanings if kind == "name")
        if values and last < len(self._tokens) and self._tokens[last].text in _OFF:
            values, last = self._switched_off(values, last)
        if values and not self._swallowed(first, last, values):
            itself = self._tells(first, values)
            said = frozenset({"bad"}) if itself else frozenset[str]()
            return self._item("cond", first, last, tags=said, values=values, names=names)
        if values:
            return self._item("word", first, last + 1, tags=frozenset({"trap"}))
        tags = {value for kind, value in meanings if kind in ("cue", "other")}
        tags |= kinds & {"bad", "func"}
        if "bad" in kinds and any(value in _FAILING for kind, value in meanings if kind == "bad"):
            tags.add("failing")
        if "gone" in tags and not self._leaves(first, last):
            tags -= {"gone"}
        if "cond" in kinds:  # a consumer that is off and has no name for it
            return self._item("word", first, last, tags=frozenset({"trap"}))
        return self._item("cue", first, last, tags=frozenset(tags), names=names)

    def _tells(self, first: int, values: tuple[Value, ...]) -> bool:
        """Say whether a condition's phrase is the symptom too: "pulls left", "boils over"."""
        word = self._tokens[first].text
        if word.startswith(_PULLING):
            return any(value.axis == "place" for value in values)
        if not word.startswith(_BOILING):
            return False
        led = first > 0 and self._tokens[first - 1].text in _JOINED | {"until", "it", "engine"}
        hot = any((value.axis, value.value) == ("temp", "overheated") for value in values)
        return hot and not led

    def _after_what(self, first: int, last: int, values: tuple[Value, ...]) -> tuple[Value, ...]:
        """Read "since the tyres were fitted" as after-tyres, not as any repair."""
        if not any(value.value == "after-repair" for value in values):
            return values
        words = {token.text for token in self._tokens[first:last]}
        for name, nouns in self._vocabulary.section("since_nouns").items():
            if not words.isdisjoint(nouns):
                return (Value("history", name),)
        special = tuple(value for value in values if value.value != "after-repair")
        return special or values

    def _leaves(self, first: int, last: int) -> bool:
        """Say whether "goes", "stops" is about the noise: no other word follows that it needs."""
        verb = self._tokens[first].text
        if last - first > 1 or verb not in _LEAVING:
            return True
        if last >= len(self._tokens) or self._tokens[last].kind != "word":
            return True
        word = self._tokens[last].text
        counted = last + 1 < len(self._tokens) and self._tokens[last + 1].kind == "number"
        if word in ("over", "under", "through", "round", "along", "across", "past") and not counted:
            return False
        if (
            first > 1
            and self._tokens[first - 1].text == "it"
            and (self._tokens[first - 2].text in ("when", "as", "if", "time", "whenever", "once"))
        ):
            return False
        end, meanings = self._vocabulary.phrases.longest(self._tokens, last)
        kinds = {kind for kind, _ in meanings}
        if "cond" in kinds or word in _WHEN or (end > last + 1 and ("cue", "glue") in meanings):
            return True
        return verb in ("gone", "went") and "bad" not in kinds and bool(meanings)

    @staticmethod
    def _switched_off(values: tuple[Value, ...], last: int) -> tuple[tuple[Value, ...], int]:
        """Read "with the blower off": not the consumer on, but off where there is a name for it."""
        if not all(value.axis == "consumers" and value.value.endswith("-on") for value in values):
            return values, last
        off = tuple(
            Value("consumers", name)
            for value in values
            for name in (value.value.replace("-on", "-off"),)
            if name in ("ac-off", "lights-off")
        )
        return off, last + 1

    def _swallowed(self, first: int, last: int, values: Sequence[Value]) -> bool:
        """P38: a condition word followed by a part noun is the part's name."""
        if last >= len(self._tokens) or last - first > 2:
            return False
        if self._tokens[last].text not in self._vocabulary.part_nouns:
            return False
        if self._tokens[first].text in _JOINED:
            return False
        if first and self._tokens[first - 1].text in _JOINED:
            return False
        return all(f"{v.axis}.{v.value}" in self._vocabulary.swallowed for v in values)

    def _other_side(self, place: int) -> Item | None:
        """Read "or right" after "turning left": the second side belongs to the same axis."""
        word = self._tokens[place].text
        if word not in _SIDES or not self._items:
            return None
        nearest = [item for item in self._items[-3:] if item.kind == "cond"]
        if len(self._items) < 2 or not nearest:
            return None
        joined = self._items[-1].text.lower() in ("or", "and", "than", "not", "/")
        for value in nearest[-1].values:
            if joined and value.axis in ("steer", "place") and value.value in _SIDES:
                return self._item("cond", place, place + 1, values=(Value(value.axis, word),))
        return None

    def _figure(self, place: int, end: int) -> Item | None:
        figure = self._figures.at(place)
        if figure is None or figure.last < end:
            return None
        found = measure(figure, self._around(place, figure.last))
        if found is None:
            return None if not figure.kind else self._item("word", place, figure.last)
        last = figure.last
        if last < len(self._tokens) and self._tokens[last].text == "later":
            last += 1
        return self._item(
            "cond", place, last, values=found.values, early=found.early, late=found.late
        )

    def _around(self, first: int, last: int) -> Around:
        tokens = self._tokens
        before = []
        for token in reversed(tokens[max(0, first - 4) : first]):
            if token.kind in ("sentence", "clause"):
                break
            before.append(token.text)
        inside = [token.text for token in tokens[first:last] if token.kind == "word"]
        after = tokens[last].text if last < len(tokens) else ""
        previous = self._items[-1] if self._items else None
        led = previous is not None and not previous.tags.isdisjoint(_LEADING)
        conds = [item for item in self._items[-2:] if item.kind == "cond"]
        axes = {(v.axis, v.value) for item in conds for v in item.values}
        nearby = {token.text for token in tokens[max(0, first - 3) : last + 2]}
        return Around(
            before=(*reversed(before), *inside),
            after=after,
            free=self._free(last),
            engine=self._engine,
            led=led
            or bool({("load", "steady"), ("course", "constant")} & axes)
            or self._gear_follows(last),
            reached=not _REACHED.isdisjoint(before),
            braking=bool(axes & {("load", "braking"), ("load", "overrun")}),
            rested=("history", "heat-soak") in axes,
            outside=not self._vocabulary.outside_words.isdisjoint(nearby),
        )

    def _gear_follows(self, last: int) -> bool:
        """Say whether "in 5th" follows: then a bare number before it is a speed."""
        words = [token.text for token in self._tokens[last : last + 2]]
        if words[:1] != ["in"]:
            return False
        _, meanings = self._vocabulary.phrases.longest(self._tokens, last)
        return any(value.startswith("gear.") for kind, value in meanings if kind == "cond")

    def _free(self, last: int) -> bool:
        """Say whether nothing follows that the number could count."""
        if last >= len(self._tokens) or self._tokens[last].kind in ("sentence", "clause"):
            return True
        if self._tokens[last].kind == "number":
            return False
        end, meanings = self._vocabulary.phrases.longest(self._tokens, last)
        kinds = {kind for kind, _ in meanings}
        return end > last and bool(kinds & {"cue", "cond", "bad", "trap"}) and "part" not in kinds
