"""Which written repair routes are the same: "exchange alternator" and "recon alternator fitted"."""

from __future__ import annotations

import re

from benchlore.language.checks import CheckReading
from benchlore.language.things import alike
from benchlore.language.vocabulary import Vocabulary

# What is done, by the words for it: common practice, no source. The first that fits counts.
_WAYS = (
    ("used", r"used|second ?hand|breaker|scrapyard|salvage|junkyard|donor"),
    ("exchange", r"exchange|recon\w*|reman\w*|rebuilt|overhauled unit|service exchange"),
    ("outside", r"specialist|sent (?:out|away)|outside|sublet|auto electrician|rebuilder|dealer"),
    ("overhaul", r"overhaul\w*|rebuild|reseal\w*|repair\w*|strip\w*|bush(?:es)? and brush"
                 r"|recondition|skim\w*|machin\w*|reface\w*|weld\w*|solder\w*|helicoil|press in"),
    ("clean", r"clean\w*|flush\w*|free\w*|unblock\w*|clear\w*|blow\w* out|decoke|regenerat\w*"),
    ("adjust", r"adjust\w*|reset|set up|tighten\w*|align\w*|retorque|re-?route|bleed|bled|shim\w*"),
)  # fmt: skip
_PATTERNS = tuple((way, re.compile(rf"\b(?:{words})\b", re.I)) for way, words in _WAYS)
NEW = "new"


def way_of(route: str) -> str:
    """Return how a route mends: used, exchange, outside, overhaul, clean, adjust, else new."""
    return next((way for way, pattern in _PATTERNS if pattern.search(route)), NEW)


def same_route(
    one: str, read_one: CheckReading, other: str, read_other: CheckReading, vocabulary: Vocabulary
) -> bool:
    """Say whether two routes are one: the same thing done to the same part; symmetric."""
    if way_of(one) != way_of(other):
        return False
    return any(alike(a, b, vocabulary) for a in read_one.things for b in read_other.things)
