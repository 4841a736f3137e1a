"""The index: passages, vectors and terms of all notes, in files of its own."""
