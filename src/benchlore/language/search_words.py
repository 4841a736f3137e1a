"""The words by which notes and questions are compared: as written, and folded to head words.

"juddering" is the word `judder` as written and `vibrat` by its head word, so that a note that says
"judder" is nearer than one that says "shake", and that one nearer than one that says neither. Words
that hold a digit are left out: codes and sizes are exact tokens (`tokens`), values are quantities.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from benchlore.language.folding import normal
from benchlore.language.parts import parts
from benchlore.language.vocabulary import Vocabulary
from benchlore.language.words import fold

PART = "part:"
"""What a part's head name is led by, so that it is never taken for a word."""


def search_words(text: str, vocabulary: Vocabulary | None = None) -> list[str]:
    """Return the search words of `text`, each as often as it stands there, in no order."""
    written, folded = fold(text), fold(normal(text, vocabulary))
    both = Counter(_plain(written)) | Counter(_plain(folded))
    return list(both.elements())


def part_words(text: str, vocabulary: Vocabulary | None = None) -> list[str]:
    """Return the parts that `text` names, as search words: `part:brake_disc`."""
    return [PART + part.replace(" ", "_") for part in parts(text, vocabulary)]


def _plain(words: Iterable[str]) -> Iterable[str]:
    return (word for word in words if not any(char.isdigit() for char in word))
