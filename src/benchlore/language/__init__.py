"""From words to what they mean in a workshop: search words and exact tokens."""

from benchlore.language.tokens import note_tokens, query_tokens
from benchlore.language.words import fold

__all__ = ["fold", "note_tokens", "query_tokens"]
