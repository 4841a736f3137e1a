"""The store's tables."""

from __future__ import annotations

STORE_SCHEMA = """
CREATE TABLE notes (
    id        INTEGER PRIMARY KEY,
    path      BLOB NOT NULL UNIQUE,   -- as the system lists it, below the shop, '/' between parts
    kind      TEXT NOT NULL,          -- case, article
    digest    TEXT NOT NULL,          -- SHA-256 of what was read
    size      INTEGER NOT NULL,
    mtime_ns  INTEGER NOT NULL,
    case_no   TEXT NOT NULL,
    system    TEXT NOT NULL,          -- lower case
    make      TEXT NOT NULL,          -- lower case
    engine    TEXT NOT NULL,          -- letters and digits, upper case
    day       TEXT NOT NULL,          -- ISO date, empty where the note gives none that can be read
    unread    TEXT NOT NULL,          -- why the file could not be read again, else empty
    card      TEXT NOT NULL           -- see cards.py
);
CREATE TABLE passages (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,  -- never used twice: vectors are kept by it
    note       INTEGER NOT NULL REFERENCES notes (id) ON DELETE CASCADE,
    kind       TEXT NOT NULL,
    first_line INTEGER NOT NULL,
    last_line  INTEGER NOT NULL,
    text       TEXT NOT NULL,
    words      TEXT NOT NULL,         -- folded words of the text, a space between them
    hash       BLOB NOT NULL          -- of the text: the key of its vector
);
CREATE INDEX passages_note ON passages (note);
CREATE INDEX passages_hash ON passages (hash);
CREATE TABLE vectors (
    hash   BLOB PRIMARY KEY,
    vector BLOB NOT NULL              -- little-endian float16
) WITHOUT ROWID;
CREATE TABLE tokens (
    token   TEXT NOT NULL,
    passage INTEGER NOT NULL REFERENCES passages (id) ON DELETE CASCADE,
    PRIMARY KEY (token, passage)
) WITHOUT ROWID;
CREATE INDEX tokens_passage ON tokens (passage);
CREATE TABLE troubles (               -- files that were left out, from the last build
    path BLOB NOT NULL,
    what TEXT NOT NULL,
    todo TEXT NOT NULL
);
CREATE VIRTUAL TABLE terms USING fts5 (
    words, content = 'passages', content_rowid = 'id', tokenize = "unicode61 remove_diacritics 0"
);
CREATE VIRTUAL TABLE term_counts USING fts5vocab (terms, 'row');
CREATE TRIGGER passages_added AFTER INSERT ON passages BEGIN
    INSERT INTO terms (rowid, words) VALUES (new.id, new.words);
END;
CREATE TRIGGER passages_deleted AFTER DELETE ON passages BEGIN
    INSERT INTO terms (terms, rowid, words) VALUES ('delete', old.id, old.words);
END;
"""
