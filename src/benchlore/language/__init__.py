"""From words to what they mean in a workshop: search words, exact tokens and conditions.

The reader of conditions brings its vocabulary along and is imported when it is first asked for: a
search of today works on words and tokens only and must not pay 0.1 s for it.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

from benchlore.language.tokens import note_tokens, query_tokens
from benchlore.language.words import fold

if TYPE_CHECKING:
    from benchlore.language.conditions import Reading, read_conditions

_LATER = ("Reading", "read_conditions")


def __getattr__(name: str) -> Any:  # noqa: ANN401
    if name in _LATER:
        return getattr(importlib.import_module("benchlore.language.conditions"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


__all__ = ["Reading", "fold", "note_tokens", "query_tokens", "read_conditions"]
