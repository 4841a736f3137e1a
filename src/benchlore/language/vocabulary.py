"""The vocabulary: readable data files, loaded once, extended by a shop's own section.

An empty vocabulary is a valid one: then only numbers with units are read and nothing is folded.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any

from benchlore.language.axes import AXES
from benchlore.language.phrases import Phrases
from benchlore.language.spelling import Spelling

FOLDER = Path(__file__).parent
FILES = (
    "vocabulary_conditions.toml",
    "vocabulary_cues.toml",
    "vocabulary_words.toml",
    "vocabulary_folding.toml",
)

Table = Mapping[str, Any]


def _phrases(value: object) -> list[str]:
    """Return the phrases of a list, or one phrase; anything else is passed over."""
    if isinstance(value, str):
        return [value]
    if isinstance(value, Sequence):
        return [item for item in value if isinstance(item, str)]
    return []


def _table(value: object) -> dict[str, Any]:
    return dict(value) if isinstance(value, Mapping) else {}


class Vocabulary:
    """Words and phrases with what they mean.

    Attributes:
        data: the sections of the data files, merged.
    """

    def __init__(self, data: Table | None = None) -> None:
        self.data: dict[str, Any] = dict(data or {})

    @classmethod
    def load(cls, folder: Path = FOLDER) -> Vocabulary:
        """Read the data files in `folder`; a file that is missing counts as empty."""
        data: dict[str, Any] = {}
        for name in FILES:
            path = folder / name
            if path.is_file():
                for section, content in tomllib.loads(path.read_text("utf-8")).items():
                    data[section] = {**_table(data.get(section)), **_table(content)}
        return cls(data)

    def with_shop(self, table: Table) -> Vocabulary:
        """Return this vocabulary with a shop's own section added.

        `table` is `[vocabulary]` of shop.toml: `words = {"droner" = "hum"}` folds words for
        search, `conditions.temp.cold = ["choke out"]` adds phrases. What has another shape is
        passed over: a shop's slip of the pen must not stop a search.
        """
        data = {name: dict(section) for name, section in self.data.items()}
        own = data.setdefault("shop_words", {})
        for word, head in _table(table.get("words")).items():
            if isinstance(head, str):
                own[str(word).lower()] = head
        for axis, values in _table(table.get("conditions")).items():
            section = data.setdefault(axis, {}) if axis in AXES else {}
            for value, phrases in _table(values).items():
                section[value] = [*_phrases(section.get(value)), *_phrases(phrases)]
        return Vocabulary(data)

    def section(self, name: str) -> dict[str, list[str]]:
        """Return the phrase lists of a section."""
        return {key: _phrases(value) for key, value in _table(self.data.get(name)).items()}

    @cached_property
    def lists(self) -> dict[str, list[str]]:
        """Named lists that phrases may refer to in braces."""
        return self.section("lists")

    @cached_property
    def phrases(self) -> Phrases:
        """Every phrase that the reader looks for, with its meanings.

        Kinds: "cond" (value `axis.name`), "cue", "other", "trap", "bad", "func", "part", "name".
        """
        tree = Phrases()
        for axis in AXES:
            for value, patterns in self.section(axis).items():
                tree.add(patterns, ("cond", f"{axis}.{value}"), self.lists)
        for kind, section in (("cue", "cues"), ("other", "other"), ("trap", "traps")):
            for value, patterns in self.section(section).items():
                tree.add(patterns, (kind, value), self.lists)
        for head, patterns in self.section("symptoms").items():
            tree.add([head, *patterns], ("bad", head), self.lists)
        tree.add(self.section("functions").get("words", ()), ("func", ""), self.lists)
        tree.add(self.section("parts").get("names", ()), ("part", ""), self.lists)
        for axis, patterns in self.section("names").items():
            tree.add(patterns, ("name", axis), self.lists)
        tree.close()
        return tree

    @cached_property
    def figures(self) -> Phrases:
        """Words around numbers: "above", "about", "and up"."""
        tree = Phrases()
        for kind, patterns in self.section("numbers").items():
            tree.add(patterns, (kind, ""), {})
        tree.close()
        return tree

    @cached_property
    def outside_words(self) -> frozenset[str]:
        """Words that make the weather of a temperature."""
        return frozenset(self.section("numbers").get("outside", ()))

    @cached_property
    def part_nouns(self) -> frozenset[str]:
        """Nouns that make a part's name of a condition word before them."""
        return frozenset(self.section("parts").get("nouns", ()))

    @cached_property
    def swallowed(self) -> frozenset[str]:
        """`axis.value` of the conditions that a part noun swallows."""
        return frozenset(self.section("parts").get("swallowed", ()))

    @cached_property
    def engine_words(self) -> frozenset[str]:
        """Words that make engine speed of a bare number."""
        return frozenset(self.section("numbers").get("engine", ()))

    @cached_property
    def spelling(self) -> Spelling:
        """Folds likely typos."""
        fixed = {
            str(wrong): str(right)
            for wrong, right in _table(_table(self.data.get("spelling")).get("fixed")).items()
        }
        words: set[str] = set(self.phrases.words)
        for section in ("synonyms", "shorthand", "systems"):
            for head, items in self.section(section).items():
                for item in (head, *items):
                    words.update(item.lower().replace("/", " ").replace("-", " ").split())
        plain = " ".join(self.section("spelling").get("plain", ())).split()
        return Spelling((w for w in words if len(w) > 3), self.phrases.stems, plain, fixed)


@lru_cache(maxsize=1)
def shipped() -> Vocabulary:
    """Return the vocabulary of the package."""
    return Vocabulary.load()


_current: list[Vocabulary] = []


def current() -> Vocabulary:
    """Return the vocabulary in use: the package's own unless `use` set another."""
    return _current[0] if _current else shipped()


def use(vocabulary: Vocabulary | None) -> None:
    """Make `vocabulary` the one in use for this process; None goes back to the package's own."""
    _current[:] = [vocabulary] if vocabulary is not None else []


def words_of(phrases: Iterable[str]) -> set[str]:
    """Return the plain words of phrases, marks taken off."""
    return {word.strip("*()|") for phrase in phrases for word in phrase.split()}
