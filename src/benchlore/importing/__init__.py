"""Notes out of other files: exports of other programs, folders of text, one long file."""
