"""The words in which a shop has written its cases, so that the same thing is written the same way.

Nothing here is a list of right words: a text that the shop has never used is as good as any.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property, lru_cache

from benchlore.index.cards import Wording, note_to_json, wordings
from benchlore.index.store import Store
from benchlore.language.named import words_of
from benchlore.language.quantities import read_quantities
from benchlore.language.vocabulary import Vocabulary, current
from benchlore.notes import Note

FIELDS = (
    "system", "machine.make", "machine.model", "machine.engine", "checks.check",
    "checks.limit_from", "causes.part", "causes.fault", "routes.route", "cautions",
)  # fmt: skip
"""What is gathered, by front matter key."""

_ALIKE = {"checks.rules_out": "causes.part", "checks.points_to": "causes.part"}
"""Fields that name what another does."""

_SPACE = re.compile(r"\s+")
_APART = re.compile(r"[\s,;:()]+")
_LONGEST = 120
"""Characters of a text that may be offered again; a longer one is told, not named."""


class ShopWords:
    """What a shop calls things, with how often; gathered once, looked up at every key."""

    def __init__(
        self, cases: Iterable[Iterable[Wording]], vocabulary: Vocabulary | None = None
    ) -> None:
        """Take the words of each case; `of_store` and `of_notes` find them."""
        self._vocabulary = vocabulary or current()
        self._written: dict[str, dict[str, dict[str, int]]] = defaultdict(dict)
        self._values: dict[str, Counter[str]] = defaultdict(Counter)
        self._cautions: dict[str, Counter[str]] = defaultdict(Counter)
        self._makes: dict[str, Counter[str]] = defaultdict(Counter)
        for case in cases:
            self._take(case)

    @classmethod
    def of_store(cls, store: Store, vocabulary: Vocabulary | None = None) -> ShopWords:
        """Gather the words of an open index.

        Raises:
            IndexDamaged: the index cannot be read.
        """
        return cls(store.case_wordings(), vocabulary)

    @classmethod
    def of_notes(cls, notes: Iterable[Note], vocabulary: Vocabulary | None = None) -> ShopWords:
        """Gather the words of `notes`."""
        cases = (note for note in notes if note.kind == "case")
        return cls((wordings(note_to_json(note)) for note in cases), vocabulary)

    def _take(self, case: Iterable[Wording]) -> None:
        system = make = ""
        for field, text in case:
            if not text or len(text) > _LONGEST:
                continue
            if field == "checks.value":
                check, _, value = text.partition("\t")
                self._values[_key(check)][value] += 1
                continue
            plain, key = _plain(text), _key(text)
            forms = self._written[_ALIKE.get(field, field)].setdefault(key, {})
            forms[plain] = forms.get(plain, 0) + 1
            if field == "system":
                system = key
            elif field == "machine.make":
                make = plain
            elif field == "machine.model" and make:
                self._makes[key][make] += 1
            elif field == "cautions":
                self._cautions[system][plain] += 1

    def counts(self, field: str) -> tuple[tuple[str, int], ...]:
        """The texts under `field`, each once as most often written, the commonest first."""
        return self._counts(_ALIKE.get(field, field))

    def _counts(self, field: str) -> tuple[tuple[str, int], ...]:
        if field not in self._sorted:
            texts = [
                (_commonest(forms), sum(forms.values()))
                for forms in self._written.get(field, {}).values()
            ]
            texts.sort(key=lambda pair: (-pair[1], pair[0].casefold()))
            self._sorted[field] = tuple(texts)
        return self._sorted[field]

    @cached_property
    def _sorted(self) -> dict[str, tuple[tuple[str, int], ...]]:
        return {}

    def as_written(self, field: str, text: str) -> str:
        """Return `text` as the shop most often writes it under `field`; as it is where never."""
        forms = self._written.get(field, {}).get(_key(text.replace("-", " ")))
        forms = forms or self._written.get(field, {}).get(_key(text))
        return _commonest(forms) if forms else text

    def pattern(self, field: str) -> re.Pattern[str]:
        """A pattern that finds the whole texts of `field` in another text, the longest first."""
        if field not in self._patterns:
            names = sorted((name for name, _ in self.counts(field)), key=len, reverse=True)
            words = (r"[\s-]?".join(map(re.escape, re.split(r"[\s-]+", name))) for name in names)
            named = "|".join(words) or "(?!)"
            self._patterns[field] = re.compile(rf"(?<![\w-])(?:{named})(?![\w-])", re.I)
        return self._patterns[field]

    @cached_property
    def _patterns(self) -> dict[str, re.Pattern[str]]:
        return {}

    def complete(self, field: str, typed: str, most: int = 6) -> tuple[str, ...]:
        """Return up to `most` texts of `field` in which every typed word begins a word.

        Those that the shop wrote most often come first, then what means the same in other words:
        "brg" gives "wheel bearing". Names of parts come from the vocabulary where the shop has too
        few. Nothing typed gives the commonest; what is typed out already is not offered.
        """
        field = _ALIKE.get(field, field)
        texts = [text for text, _ in self._counts(field)]
        wanted = _words(typed)
        if not wanted:
            return tuple(texts[:most])
        ordered = [text for text in texts if _begun(wanted, _words(text))]
        if len(ordered) < most:
            folded, found = self._folded(typed), set(ordered)
            ordered += [
                text
                for text in texts
                if text not in found and _begun(folded, {*_words(text), *self._folded(text)})
            ]
        if len(ordered) < most and field == "causes.part":
            known = {_key(text) for text in ordered}
            folded = self._folded(typed)
            names = (name for name in self._part_names if name not in known)
            ordered += [n for n in names if _begun(wanted, _words(n)) or _begun(folded, _words(n))]
        return tuple(text for text in ordered if text != typed)[:most]

    def _folded(self, text: str) -> frozenset[str]:
        """The words of `text`, short forms and other names folded; a half typed word stays."""
        return frozenset(word for piece in _words(text) for word in self._fold(piece))

    def _fold(self, word: str) -> tuple[str, ...]:
        if word not in self._folds:
            folded = tuple(w for w in words_of(word, self._vocabulary) if w.isalnum())
            self._folds[word] = folded or (word,)
        return self._folds[word]

    @cached_property
    def _folds(self) -> dict[str, tuple[str, ...]]:
        return {}

    @cached_property
    def _part_names(self) -> tuple[str, ...]:
        tables = self._vocabulary.table("subjects").values()
        return tuple(sorted({str(head) for table in tables if isinstance(table, Mapping)
                             for head in table}))  # fmt: skip

    def make_of(self, model: str) -> str:
        """The make of a model, where the shop has written one make for it and no other."""
        makes = {_key(make): make for make in self._makes.get(_key(model), ())}
        return next(iter(makes.values())) if len(makes) == 1 else ""

    def units(self, check: str) -> tuple[str, ...]:
        """The units that values of a check of this name were written in, the commonest first."""
        counts: Counter[str] = Counter()
        for value, times in self._values.get(_key(check), Counter()).items():
            counts.update({q.unit: times for q in read_quantities(value) if q.dimension})
        return tuple(unit for unit, _ in counts.most_common())

    def cautions(self, system: str, most: int = 6) -> tuple[str, ...]:
        """The cautions that cases of a system have, the commonest first."""
        return tuple(
            text for text, _ in self._cautions.get(_key(system), Counter()).most_common(most)
        )

    def __iter__(self) -> Iterator[str]:
        """The fields that anything is known of."""
        return iter(field for field in FIELDS if self._written.get(field))


@lru_cache(maxsize=50_000)
def _plain(text: str) -> str:
    return _SPACE.sub(" ", text).strip()


@lru_cache(maxsize=50_000)
def _key(text: str) -> str:
    return _plain(text).casefold()


def _commonest(forms: Mapping[str, int]) -> str:
    """The form that stands most often, the first of several."""
    return max(forms, key=lambda form: forms[form])


def _words(text: str) -> frozenset[str]:
    return frozenset(word for word in _APART.split(text.casefold()) if word)


def _begun(typed: Iterable[str], words: Iterable[str]) -> bool:
    """Say whether every typed word begins one of `words`."""
    have = tuple(words)
    return all(any(word.startswith(part) for word in have) for part in typed)
