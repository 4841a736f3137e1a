"""Phrases of the vocabulary, compiled to a tree that is walked word by word.

The marks of the data files: `word*`, `(a|b)`, `{list}`, `...` (up to four words), `<n>`.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from itertools import islice
from typing import Any

from benchlore.language.scanning import Token, scan

Meaning = tuple[str, str]
"""What a phrase means: its kind and a value of that kind."""

MEANINGS = ""
"""The key in an opened tree under which the list of meanings stands: no first word."""

GAP = 4
"""Words that `...` may stand for."""

FILLERS = frozenset(
    [
        "the",
        "a",
        "an",
        "it",
        "is",
        "its",
        "my",
        "your",
        "his",
        "her",
        "our",
        "their",
        "this",
        "that",
        "very",
        "really",
    ]
)
"""Words that may stand inside a phrase without being written in it."""

MAX_FORMS = 4000
"""A pattern that would open out to more phrases than this is cut there."""

MAX_MEMO = 20_000
"""First words whose nodes are kept at hand."""

_PIECE = re.compile(r"\{([^{}]*)\}|\(([^()]*)\)|([^\s(){}]+)")


MOST_SKIPS = 8
"""Filler words within one phrase; nobody writes more, and a page of them must not take minutes."""

Node = dict[str, Any]
"""A place in the tree; plain data, so that a tree can be kept in a file.

Keys: a word, `stem*`, `...` or `<n>` lead on to the node behind it; "" holds the numbers of the
meanings of the phrases that end here; "*" is there where some key is a stem."""


def _after(node: Node, word: str) -> list[Node]:
    """Return the nodes that `word` leads to: its own, then those of its stems, shortest first."""
    found = [node[word]] if word in node else []
    if "*" in node:
        found += [node[stem] for stem in _stems(word) if stem in node]
    return found


def _stems(word: str) -> list[str]:
    return [f"{word[:size]}*" for size in range(max(2, len(word) - 4), len(word) + 1)]


def _leads_on(node: Node) -> bool:
    """Say whether a word may follow here, gaps and numbers left out."""
    return len(node) > ("" in node) + ("..." in node) + ("<n>" in node)


def expand(pattern: str, lists: Mapping[str, Sequence[str]]) -> list[tuple[str, ...]]:
    """Return every sequence of words that `pattern` stands for."""
    forms: list[tuple[str, ...]] = [()]
    for named, choice, plain in _PIECE.findall(pattern):
        if named:
            options = [words for item in lists.get(named, ()) for words in expand(item, {})]
        elif choice:
            options = [words for item in choice.split("|") for words in expand(item, lists)]
        else:
            options = [_words(plain)]
        if "|)" in pattern and choice.endswith("|"):
            options.append(())
        longer = (form + option for form in forms for option in options)
        forms = list(islice(longer, MAX_FORMS))
    return [form for form in dict.fromkeys(forms) if form]


def _words(plain: str) -> tuple[str, ...]:
    if plain in ("...", "<n>"):
        return (plain,)
    if plain.isalpha():
        return (plain.lower(),)
    star = plain.endswith("*")
    words = [token.text for token in scan(plain.rstrip("*"))]
    if star and words:
        words[-1] += "*"
    return tuple(words)


_MARKS = re.compile(r"[^\s(){}|]+")


def first_words(pattern: str, lists: Mapping[str, Sequence[str]]) -> set[str]:
    """Return the words, stars kept, that phrases of `pattern` may begin with."""
    found: set[str] = set()
    for named, choice, plain in _PIECE.findall(pattern):
        if plain:
            return found | set(_words(plain)[:1])
        options = lists.get(named, ()) if named else choice.split("|")
        for option in options:
            found |= first_words(option, lists)
        if named or "" not in options:
            return found
    return found


class Phrases:
    """A tree of phrases with their meanings.

    Patterns are kept by their first word and opened out when that word is first met: a query meets
    few of them. Nothing is taken away when one is opened, so threads may share a tree.
    """

    def __init__(self, made: Mapping[str, str] | None = None) -> None:
        """Start empty, or from what `opened` gave of another tree.

        `words` and `stems` are those of the phrases that are added afterwards.
        """
        self.words: set[str] = set()
        self.stems: set[str] = set()
        self._made: Mapping[str, str] = made or {}
        self._meanings: dict[Meaning, int] = {
            (kind, value): number
            for number, (kind, value) in enumerate(json.loads(self._made.get(MEANINGS, "[]")))
        }
        self._by_number: list[Meaning] = list(self._meanings)
        self._lists: Mapping[str, Sequence[str]] = {}
        self._waiting: dict[str, dict[tuple[str, int], None]] = {}
        self._nodes: dict[str, Node] = {}
        self._memo: dict[str, tuple[Node, ...]] = {}

    @property
    def starts(self) -> set[str]:
        """The words that phrases begin with, those with a star left out."""
        words = {*self._made, *self._waiting} - {MEANINGS}
        return {word for word in words if not word.endswith("*")}

    def opened(self) -> dict[str, str]:
        """Return the whole tree as JSON texts, one for each first word."""
        firsts = sorted({*self._made, *self._waiting} - {MEANINGS})
        tree: dict[str, Any] = {MEANINGS: self._by_number}
        tree |= {first: self._node(first) for first in firsts}
        return {
            key: json.dumps(value, ensure_ascii=False, separators=(",", ":"))
            for key, value in tree.items()
        }

    def add(
        self, patterns: Iterable[str], meaning: Meaning, lists: Mapping[str, Sequence[str]]
    ) -> None:
        """Add phrases that mean `meaning`; `lists` are the same for a whole tree."""
        self._lists = lists or self._lists
        self._memo.clear()
        if meaning not in self._meanings:
            self._meanings[meaning] = len(self._by_number)
            self._by_number.append(meaning)
        number = self._meanings[meaning]
        for pattern in patterns:
            for word in first_words(pattern, lists):
                self._waiting.setdefault(word, {})[pattern, number] = None
                self._nodes.pop(word, None)
            for word in _MARKS.findall(pattern):
                for part in (word,) if word.isalpha() else _words(word):
                    (self.stems if part.endswith("*") else self.words).add(part.rstrip("*"))

    def close(self) -> None:
        """Count the words of the named lists among the tree's words."""
        for items in self._lists.values():
            for item in items:
                for word in _words(item):
                    (self.stems if word.endswith("*") else self.words).add(word.rstrip("*"))

    def _first(self, word: str) -> tuple[Node, ...]:
        """Return the nodes behind a phrase's first word."""
        found = self._memo.get(word)
        if found is None:
            keys = (word, *_stems(word))
            found = tuple(self._node(k) for k in keys if k in self._made or k in self._waiting)
            if len(self._memo) < MAX_MEMO:
                self._memo[word] = found
        return found

    def _node(self, first: str) -> Node:
        """Return the part of the tree behind `first`, with the phrases that wait for it put in."""
        node = self._nodes.get(first)
        if node is None:
            node = json.loads(self._made.get(first, "{}"))
            self._build(node, self._waiting.get(first, ()), first)
            self._nodes[first] = node
        return node

    def _build(self, top: Node, patterns: Iterable[tuple[str, int]], first: str) -> None:
        """Put phrases in; those without their fillers where that is not a phrase of its own."""
        bare: dict[tuple[str, ...], list[int]] = {}
        for pattern, meaning in patterns:
            for form in expand(pattern, self._lists):
                if form[0] != first:
                    continue
                _put(top, form[1:], meaning)
                inner = tuple(word for word in form[1:-1] if word not in FILLERS)
                short = form[:1] + inner + form[1:][-1:]
                if short != form and "..." not in form:
                    bare.setdefault(short[1:], []).append(meaning)
        free = [item for item in bare.items() if _is_free(top, item[0])]
        for form, meanings in free:
            for meaning in meanings:
                _put(top, form, meaning)

    def longest(self, tokens: Sequence[Token], at: int) -> tuple[int, tuple[Meaning, ...]]:
        """Return the end of the longest phrase that starts at token `at`, and its meanings.

        The end is `at` where no phrase starts.
        """
        first = tokens[at] if at < len(tokens) else None
        if first is None or first.kind not in ("word", "number"):
            return at, ()
        nodes = self._first(first.text)
        if not nodes:
            return at, ()
        best, skipped, meanings = at, 0, dict[Meaning, None]()
        state: list[tuple[int, int, Node, bool]] = [(at + 1, 0, node, False) for node in nodes]
        while state:
            place, skips, node, open_end = state.pop()
            if "" in node and not open_end and (place, -skips) >= (best, -skipped):
                if (place, skips) != (best, skipped):
                    meanings = {}
                best, skipped = place, skips
                meanings.update((self._by_number[number], None) for number in node[""])
            if place < len(tokens):
                self._follow(tokens, place, skips, node, state)
        return best, tuple(meanings)

    @staticmethod
    def _follow(
        tokens: Sequence[Token],
        place: int,
        skips: int,
        node: Node,
        state: list[tuple[int, int, Node, bool]],
    ) -> None:
        token = tokens[place]
        if token.kind not in ("word", "number"):
            return
        state += [(place + 1, skips, child, False) for child in _after(node, token.text)]
        if "<n>" in node and token.kind == "number":
            state.append((place + 1, skips, node["<n>"], False))
        if token.text in FILLERS and skips < MOST_SKIPS and _leads_on(node):
            state.append((place + 1, skips + 1, node, True))  # a filler never ends a phrase
        if "..." in node:
            for skip in range(GAP + 1):
                if place + skip > len(tokens) - 1:
                    break
                state.append((place + skip, skips + 1, node["..."], False))
                if tokens[place + skip].kind not in ("word", "number"):
                    break


def _put(node: Node, words: Iterable[str], meaning: int) -> None:
    """Add a phrase, its first word left out, to the tree below `node`."""
    for word in words:
        if word.endswith("*"):
            node["*"] = 1
        node = node.setdefault(word, {})
    ends = node.setdefault("", [])
    if meaning not in ends:
        ends.append(meaning)


def _is_free(node: Node | None, words: Iterable[str]) -> bool:
    """Say whether no phrase is written exactly like that."""
    for word in words:
        node = node.get(word) if node is not None else None
    return node is None or "" not in node
