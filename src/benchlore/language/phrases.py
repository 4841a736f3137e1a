"""Phrases of the vocabulary, compiled to a tree that is walked word by word.

The marks of the data files: `word*`, `(a|b)`, `{list}`, `...` (up to four words), `<n>`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence

from benchlore.language.scanning import Token, scan

Meaning = tuple[str, str]
"""What a phrase means: its kind and a value of that kind."""

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

_PIECE = re.compile(r"\{([^{}]*)\}|\(([^()]*)\)|([^\s(){}]+)")


class Node:
    """A place in the tree: the words that may follow, and the phrases that end here."""

    __slots__ = ("ends", "gap", "memo", "number", "stems", "words")

    def __init__(self) -> None:
        self.words: dict[str, Node] = {}
        self.stems: dict[str, Node] = {}
        self.number: Node | None = None
        self.gap: Node | None = None
        self.ends: tuple[Meaning, ...] = ()
        self.memo: dict[str, tuple[Node, ...]] = {}

    def after(self, word: str) -> tuple[Node, ...]:
        """Return the nodes that `word` leads to."""
        found = self.memo.get(word)
        if found is None:
            nodes = [self.words[word]] if word in self.words else []
            for size in range(max(2, len(word) - 4), len(word) + 1):
                if (stem := word[:size]) in self.stems:
                    nodes.append(self.stems[stem])
            found = tuple(nodes)
            if len(self.memo) < 20_000:
                self.memo[word] = found
        return found


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
        forms = [form + option for form in forms for option in options][:MAX_FORMS]
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
    few of them.
    """

    def __init__(self) -> None:
        self.root = Node()
        self.words: set[str] = set()
        self.stems: set[str] = set()
        self._lists: Mapping[str, Sequence[str]] = {}
        self._waiting: dict[str, dict[tuple[str, Meaning], None]] = {}
        self._starred: dict[str, dict[tuple[str, Meaning], None]] = {}

    @property
    def starts(self) -> set[str]:
        """The words that phrases begin with, those with a star left out."""
        return {*self._waiting, *self.root.words}

    def add(
        self, patterns: Iterable[str], meaning: Meaning, lists: Mapping[str, Sequence[str]]
    ) -> None:
        """Add phrases that mean `meaning`; `lists` are the same for a whole tree."""
        self._lists = lists or self._lists
        for pattern in patterns:
            for word in first_words(pattern, lists):
                waiting = self._starred if word.endswith("*") else self._waiting
                waiting.setdefault(word.rstrip("*"), {})[pattern, meaning] = None
            for word in _MARKS.findall(pattern):
                for part in (word,) if word.isalpha() else _words(word):
                    (self.stems if part.endswith("*") else self.words).add(part.rstrip("*"))

    def close(self) -> None:
        """Count the words of the named lists among the tree's words."""
        for items in self._lists.values():
            for item in items:
                for word in _words(item):
                    (self.stems if word.endswith("*") else self.words).add(word.rstrip("*"))

    def _open(self, word: str) -> None:
        """Put the phrases that begin with `word`, or with a stem of it, into the tree."""
        if word in self._waiting:
            self._build(self._waiting.pop(word), word)
        for size in range(max(2, len(word) - 4), len(word) + 1):
            if (stem := word[:size]) in self._starred:
                self._build(self._starred.pop(stem), f"{stem}*")

    def _build(self, patterns: Iterable[tuple[str, Meaning]], first: str) -> None:
        """Put phrases in; those without their fillers where that is not a phrase of its own."""
        bare: dict[tuple[str, ...], list[Meaning]] = {}
        for pattern, meaning in patterns:
            for form in expand(pattern, self._lists):
                if form[0] != first:
                    continue
                self._put(form, meaning)
                inner = tuple(word for word in form[1:-1] if word not in FILLERS)
                short = form[:1] + inner + form[1:][-1:]
                if short != form and "..." not in form:
                    bare.setdefault(short, []).append(meaning)
        for form, meanings in bare.items():
            if self._free(form):
                for meaning in meanings:
                    self._put(form, meaning)

    def _free(self, form: tuple[str, ...]) -> bool:
        node: Node | None = self.root
        for word in form:
            node = self._step(node, word) if node else None
        return node is None or not node.ends

    @staticmethod
    def _step(node: Node, word: str) -> Node | None:
        if word == "...":
            return node.gap
        if word == "<n>":
            return node.number
        return node.stems.get(word[:-1]) if word.endswith("*") else node.words.get(word)

    def _put(self, form: tuple[str, ...], meaning: Meaning) -> None:
        node = self.root
        for word in form:
            child = self._step(node, word)
            if child is None:
                child = Node()
                if word == "...":
                    node.gap = child
                elif word == "<n>":
                    node.number = child
                elif word.endswith("*"):
                    node.stems[word[:-1]] = child
                else:
                    node.words[word] = child
            node = child
        if meaning not in node.ends:
            node.ends = (*node.ends, meaning)

    def longest(self, tokens: Sequence[Token], at: int) -> tuple[int, tuple[Meaning, ...]]:
        """Return the end of the longest phrase that starts at token `at`, and its meanings.

        The end is `at` where no phrase starts.
        """
        first = tokens[at] if at < len(tokens) else None
        if first is None or first.kind not in ("word", "number"):
            return at, ()
        if first.text not in self.root.memo:
            self._open(first.text)
        if first.kind == "word" and not self.root.after(first.text):
            return at, ()
        best, skipped, meanings = at, 0, dict[Meaning, None]()
        state: list[tuple[int, int, Node, bool]] = [(at, 0, self.root, False)]
        while state:
            place, skips, node, open_end = state.pop()
            ends = bool(node.ends) and place > at and not open_end
            if ends and (place, -skips) >= (best, -skipped):
                if (place, skips) != (best, skipped):
                    meanings = {}
                best, skipped = place, skips
                meanings.update(dict.fromkeys(node.ends))
            if place < len(tokens):
                self._follow(tokens, place, skips, node, state, place > at)
        return best, tuple(meanings)

    @staticmethod
    def _follow(
        tokens: Sequence[Token],
        place: int,
        skips: int,
        node: Node,
        state: list[tuple[int, int, Node, bool]],
        begun: bool,
    ) -> None:
        token = tokens[place]
        if token.kind not in ("word", "number"):
            return
        state += [(place + 1, skips, child, False) for child in node.after(token.text)]
        if node.number is not None and token.kind == "number":
            state.append((place + 1, skips, node.number, False))
        if begun and token.text in FILLERS and (node.words or node.stems):
            state.append((place + 1, skips + 1, node, True))  # a filler never ends a phrase
        if begun and node.gap is not None:
            for skip in range(GAP + 1):
                if place + skip > len(tokens) - 1:
                    break
                state.append((place + skip, skips + 1, node.gap, False))
                if tokens[place + skip].kind not in ("word", "number"):
                    break
