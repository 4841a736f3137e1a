"""Writing up a case: what is typed, what is understood of it, what is missing."""
