"""The vocabulary: readable data files, loaded once, extended by a shop's own section.

An empty vocabulary is a valid one: then only numbers with units are read and nothing is folded.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any

from benchlore.language import compiled
from benchlore.language.axes import AXES
from benchlore.language.phrases import Phrases
from benchlore.language.spelling import Spelling

FOLDER = Path(__file__).parent
FILES = (
    "vocabulary_conditions.toml",
    "vocabulary_cues.toml",
    "vocabulary_words.toml",
    "vocabulary_folding.toml",
    "vocabulary_parts.toml",
    "vocabulary_findings.toml",
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
    """Words and phrases with what they mean."""

    def __init__(
        self,
        data: Table | None = None,
        tables: compiled.Tables | None = None,
        fingerprint: str = "",
    ) -> None:
        """Take the sections of the data files, merged, or what was compiled from them.

        `fingerprint` is that of the data files; it is worked out of `data` where there are none.
        """
        self._data: dict[str, Any] = dict(data or {})
        self._tables: compiled.Tables = tables or {}
        self._fingerprint = fingerprint
        self._own_phrases: dict[str, dict[str, list[str]]] = {}
        self.own_words: dict[str, str] = {}

    @classmethod
    def load(cls, folder: Path = FOLDER) -> Vocabulary:
        """Load the data files in `folder`, from their compiled form where that is up to date."""
        texts = _texts(folder)
        made_from = compiled.digest(texts)
        tables = compiled.read(folder / compiled.FILE, made_from)
        return cls(tables=tables, fingerprint=made_from) if tables else cls.read(folder)

    @classmethod
    def read(cls, folder: Path = FOLDER) -> Vocabulary:
        """Read the data files in `folder` themselves; a file that is missing counts as empty."""
        import tomllib  # not needed where the compiled form is up to date

        texts = _texts(folder)
        data: dict[str, Any] = {}
        for text in texts:
            for section, content in tomllib.loads(text.decode("utf-8")).items():
                data[section] = {**_table(data.get(section)), **_table(content)}
        return cls(data, fingerprint=compiled.digest(texts))

    def with_shop(self, table: Table) -> Vocabulary:
        """Return this vocabulary with a shop's own section added.

        `table` is `[vocabulary]` of shop.toml: `words = {"droner" = "hum"}` folds words for
        search, `conditions.temp.cold = ["choke out"]` adds phrases. What has another shape is
        passed over: a shop's slip of the pen must not stop a search.
        """
        found = Vocabulary(self._data, self._tables)
        found.own_words = dict(self.own_words)
        for word, head in _table(table.get("words")).items():
            if isinstance(head, str):
                found.own_words[str(word).lower()] = head
        own = {axis: dict(values) for axis, values in self._own_phrases.items()}
        for axis, values in _table(table.get("conditions")).items():
            section = own.setdefault(axis, {}) if axis in AXES else {}
            for value, phrases in _table(values).items():
                section[value] = [*section.get(value, ()), *_phrases(phrases)]
        found._own_phrases = own
        stated = json.dumps([found.own_words, own], sort_keys=True)
        found._fingerprint = compiled.digest([self.fingerprint().encode(), stated.encode()])
        return found

    def fingerprint(self) -> str:
        """Return a SHA-256 of all that is in the vocabulary, hexadecimal: its version."""
        if not self._fingerprint:
            self._fingerprint = compiled.digest([json.dumps(self._data, sort_keys=True).encode()])
        return self._fingerprint

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the sections of the data files, in their order."""
        return tuple(self._tables.get("sections", self._data))

    def table(self, name: str) -> dict[str, Any]:
        """Return a section of the data files as it stands there; empty where there is none."""
        if name not in self._data and name in self._tables.get("sections", ()):
            self._data[name] = json.loads(self._tables["sections"][name])
        return _table(self._data.get(name))

    def section(self, name: str) -> dict[str, list[str]]:
        """Return the phrase lists of a section, the shop's own phrases among them."""
        found = {key: _phrases(value) for key, value in self.table(name).items()}
        for key, phrases in self._own_phrases.get(name, {}).items():
            found[key] = [*found.get(key, ()), *phrases]
        return found

    def compiled_tree(self, name: str) -> Mapping[str, str]:
        """Return what was compiled of a tree of phrases: "phrases", "figures" or "folding"."""
        return self._tables.get(name, {})

    @cached_property
    def lists(self) -> dict[str, list[str]]:
        """Named lists that phrases may refer to in braces."""
        return self.section("lists")

    @cached_property
    def phrases(self) -> Phrases:
        """Every phrase that the reader looks for, with its meanings.

        Kinds: "cond" (value `axis.name`), "cue", "other", "trap", "bad", "func", "part", "name".
        """
        made = self.compiled_tree("phrases")
        tree = Phrases(made)
        for axis in AXES:
            conditions = self._own_phrases.get(axis, {}) if made else self.section(axis)
            for value, patterns in conditions.items():
                tree.add(patterns, ("cond", f"{axis}.{value}"), self.lists)
        if made:
            return tree
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
        made = self.compiled_tree("figures")
        if made:
            return Phrases(made)
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
    def spelled_words(self) -> frozenset[str]:
        """The words that a typo may have been meant to be."""
        words = {*self.phrases.words, *" ".join(self.own_words).split()}
        if self._tables:
            words.update(self._tables["words"]["spelling"].split(" "))
            return frozenset(words)
        for section in ("synonyms", "shorthand", "systems"):
            for head, items in self.section(section).items():
                for item in (head, *items):
                    words.update(item.lower().replace("/", " ").replace("-", " ").split())
        return frozenset(word for word in words if len(word) > 3)

    @cached_property
    def spelled_stems(self) -> frozenset[str]:
        """The stems of the phrases that end in a star."""
        made = self._tables["words"]["stems"].split(" ") if self._tables else ()
        return frozenset((*made, *self.phrases.stems))

    @cached_property
    def spelling(self) -> Spelling:
        """Folds likely typos."""
        table = self.table("spelling")
        fixed = {str(wrong): str(right) for wrong, right in _table(table.get("fixed")).items()}
        plain = " ".join(_phrases(table.get("plain"))).split()
        return Spelling(self.spelled_words, self.spelled_stems, plain, fixed)


def _texts(folder: Path) -> list[bytes]:
    paths = (folder / name for name in FILES)
    return [path.read_bytes() if path.is_file() else b"" for path in paths]


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


@lru_cache(maxsize=4)
def _with_shop(base: Vocabulary, table: str) -> Vocabulary:
    return base.with_shop(json.loads(table))


def of_shop(table: Table) -> Vocabulary:
    """Return the vocabulary for a shop with `table` as its section `[vocabulary]`.

    `table` is `Settings.vocabulary`, added to the one in use. The same table gives the same
    vocabulary, loaded once; an empty one gives `current()`.
    """
    return _with_shop(current(), json.dumps(table)) if table else current()
