"""A part and how it failed, where a statement plainly says both: "Slack adjuster seized"."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache

from benchlore.language.named import part_nouns, plain_words_of, stemmed, stems, words_of
from benchlore.language.parts import parts
from benchlore.language.quantities import read_quantities
from benchlore.language.tokens import trouble_codes
from benchlore.language.vocabulary import Vocabulary
from benchlore.writeup.statements import Statement

Blamed = tuple[str, str, str, int, int]
"""Part, fault, certainty, and where both stand in the card."""

_TURNED_OUT = re.compile(
    r"(?P<part>[^.;,:()]{3,60}?)\s+(?:turned out to be|found to be|proved to be|was found)\s+"
    r"(?P<fault>[^.;,()]{3,60})",
    re.I,
)
_WORD = re.compile(r"[^\s,;:()]+")
_MOST_WORDS = 8
_LEAD = re.compile(
    r"(?:[^,;]{0,20}\bfound|suspect(?:ed)?|the|a|its?|was|is|new|both|all|old|and|that|then|fitted|x\d|cause"
    r"|smoke test|diagnosed)[\s:]+",
    re.I,
)
_SUSPECTED = re.compile(r"suspect(?:ed)?\b", re.I)
_NEGATED = re.compile(
    r"\b(?:no|not|never|without|nothing|none|isn'?t|wasn'?t|ok|fine|good)\b", re.I
)


def names_a_part(text: str, vocabulary: Vocabulary) -> bool:
    """Say whether `text` names a part that the vocabulary knows, short forms spelled out."""
    return bool(parts(" ".join(words_of(text, vocabulary)), vocabulary))


def names_a_thing(text: str, vocabulary: Vocabulary) -> bool:
    """As `names_a_part`, but a kind of part will do: "pump", "coil", "discs"."""
    if names_a_part(text, vocabulary):
        return True
    words = [word for word in words_of(text, vocabulary) if word.isalpha()]
    return bool(words) and words[-1] in _kinds(vocabulary)


@lru_cache(maxsize=4)
def _kinds(vocabulary: Vocabulary) -> frozenset[str]:
    """The last words of the names of parts: "water pump" is a kind of pump."""
    tables = vocabulary.table("subjects").values()
    heads = (str(head) for table in tables if isinstance(table, Mapping) for head in table)
    return frozenset(head.split()[-1] for head in heads if " " in head)


def blamed(statement: Statement, vocabulary: Vocabulary) -> Iterator[Blamed]:
    """Yield what a statement blames: suspected, or likely where it "turned out to be" so."""
    told = _TURNED_OUT.search(statement.said)
    if told is not None:
        part = cleaned(told["part"])
        where = statement.start + told.start(), statement.start + told.end()
        if names_a_thing(part, vocabulary):
            yield part, " ".join(told["fault"].split()), "likely", *where
        return
    place = 0
    for clause in re.split(r"([,;:()])", statement.said):
        start = statement.start + place
        place += len(clause)
        named = statement.label == "cause" or bool(_SUSPECTED.match(clause.strip()))
        found = _part_and_fault(clause, named, vocabulary)
        if found is not None:
            part, fault, first, last = found
            yield part, fault, "suspected", start + first, start + last


def _part_and_fault(
    clause: str, named: bool, vocabulary: Vocabulary
) -> tuple[str, str, int, int] | None:
    """`Slack adjuster seized`: a part that is known, then how it failed, and little else.

    Where the clause is `named` as the cause, any words behind the part tell how it failed.
    """
    if _NEGATED.search(clause) or trouble_codes(clause):
        return None
    start = 0
    while start < len(clause) and not clause[start].isalnum():
        start += 1
    while (lead := _LEAD.match(clause, start)) is not None:
        start = lead.end()
    words = [match.span() for match in _WORD.finditer(clause, start)]
    if not 2 <= len(words) <= _MOST_WORDS:
        return None
    faults = stemmed(vocabulary, "faults").all(stems(plain_words_of(clause, vocabulary)))
    if not (faults or named) or read_quantities(clause):
        return None
    for cut in range(1, min(len(words), 6)):
        part = clause[words[0][0] : words[cut - 1][1]]
        rest = clause[words[cut][0] : words[-1][1]]
        if not names_a_thing(part, vocabulary) or not _ends_as_name(part, vocabulary):
            continue
        if _fails(rest, vocabulary) or (named and not _names_more(part, rest, vocabulary)):
            return part, " ".join(rest.split()), words[0][0], words[-1][1]
    return None


def _ends_as_name(part: str, vocabulary: Vocabulary) -> bool:
    """Say whether the last word may be that of a name: "drain plug had" does not."""
    words = [word for word in words_of(part, vocabulary) if word.isalnum()]
    return bool(words) and (words[-1] in part_nouns(vocabulary) or words[-1].isdigit())


def _fails(rest: str, vocabulary: Vocabulary) -> bool:
    """Say whether the words begin with a kind of failure that is no part: "plug" may be both."""
    plain = plain_words_of(rest, vocabulary)
    if not plain or plain[0] in part_nouns(vocabulary):
        return False
    return stemmed(vocabulary, "faults").at(stems(plain), 0)[0] > 0


def _names_more(part: str, rest: str, vocabulary: Vocabulary) -> bool:
    """Say whether the next word still belongs to the name of the part."""
    longer = parts(" ".join(words_of(f"{part} {rest.split()[0]}", vocabulary)), vocabulary)
    return bool(longer) and longer != parts(" ".join(words_of(part, vocabulary)), vocabulary)


def cleaned(part: str) -> str:
    """A name without "the", "found" and the like before it."""
    kept = part.strip()
    while (lead := _LEAD.match(kept)) is not None:
        kept = kept[lead.end() :]
    return kept
