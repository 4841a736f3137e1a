"""Spelling and small words put right before phrases are looked for; offsets stay as they are."""

from __future__ import annotations

from collections.abc import Sequence

from benchlore.language.scanning import Token
from benchlore.language.spelling import Spelling
from benchlore.language.vocabulary import Vocabulary

_SHE = {"she": "it", "shes": "its", "hes": "its", "shell": "itll"}
_WITH = {"w/": "with"}
_APOSTROPHES = ("'", "\N{RIGHT SINGLE QUOTATION MARK}")
_SAYING = frozenset({"says", "said", "reckons", "thinks", "tells", "told", "reports", "claims"})
_SHORTEST = 6


def reworded(text: str, tokens: Sequence[Token], vocabulary: Vocabulary) -> list[Token]:
    """Return the tokens of `text` with likely typos, dropped letters and pronouns folded.

    "brakin" is "braking", "she" is the machine unless she says something, "50 an 60" is a range,
    "tarmac's fine" says so of the tarmac.
    """
    found = list(tokens)
    spelling = vocabulary.spelling
    for place, token in enumerate(found):
        if token.kind != "word":
            continue
        word = token.text
        if len(word) >= _SHORTEST and word.endswith("in") and spelling.known(f"{word}g"):
            token.text = f"{word}g"
        elif word in _WITH:
            token.text = _WITH[word]
        elif word.endswith("s") and _shortened(text[token.start : token.end], word, spelling):
            token.text = word[:-1]
        elif word in _SHE:
            after = found[place + 1].text if place + 1 < len(found) else ""
            short = word != "shell" or text[token.start : token.end].lower() != word
            token.text = _SHE[word] if short and after not in _SAYING else word
        elif word == "an" and _number(found, place - 1) and _number(found, place + 1):
            token.text = "and"
        else:
            token.text = spelling.right(word)
    return found


def _shortened(raw: str, word: str, spelling: Spelling) -> bool:
    """Say whether `raw` is a known noun with "'s" behind it."""
    return raw[-2:-1] in _APOSTROPHES and len(word) > 4 and spelling.known(word[:-1])


def _number(tokens: Sequence[Token], place: int) -> bool:
    return 0 <= place < len(tokens) and tokens[place].kind == "number"
