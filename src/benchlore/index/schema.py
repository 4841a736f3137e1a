"""The store's tables."""

from __future__ import annotations

STORE_SCHEMA = """
CREATE TABLE notes (
    id        INTEGER PRIMARY KEY AUTOINCREMENT,  -- never used twice: what is read is kept by it
    path      BLOB NOT NULL UNIQUE,   -- as the system lists it, below the shop, '/' between parts
    kind      TEXT NOT NULL,          -- case, article
    digest    TEXT NOT NULL,          -- SHA-256 of what was read
    size      INTEGER NOT NULL,
    mtime_ns  INTEGER NOT NULL,
    case_no   TEXT NOT NULL,
    system    TEXT NOT NULL,          -- lower case
    make      TEXT NOT NULL,          -- lower case
    model     TEXT NOT NULL,          -- lower case
    engine    TEXT NOT NULL,          -- letters and digits, upper case
    year      INTEGER,                -- in which the machine was built, NULL where not known
    distance  REAL,                   -- its odometer in km, NULL where not known
    hours     REAL,                   -- its hour meter, NULL where not known
    diagnosed INTEGER NOT NULL,       -- 1: a cause is recorded that is known
    day       TEXT NOT NULL,          -- ISO date, empty where the note gives none that can be read
    length    INTEGER NOT NULL,       -- words of all its passages
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
    words      TEXT NOT NULL,         -- search words of the text, a space between them
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
CREATE TABLE postings (               -- see postings.py
    word  TEXT PRIMARY KEY,
    notes BLOB NOT NULL
) WITHOUT ROWID;
CREATE TABLE note_vectors (           -- little-endian float16
    note    INTEGER PRIMARY KEY REFERENCES notes (id) ON DELETE CASCADE,
    symptom BLOB NOT NULL,            -- of its symptom passage
    whole   BLOB NOT NULL             -- of all its passages together, of length 1
);
CREATE TABLE conditions (             -- when the symptom shows and when not, as read
    note     INTEGER NOT NULL REFERENCES notes (id) ON DELETE CASCADE,
    axis     TEXT NOT NULL,
    value    TEXT NOT NULL,
    polarity TEXT NOT NULL,           -- present, absent
    grade    TEXT NOT NULL,
    weight   REAL NOT NULL,
    low      REAL,                    -- the range behind the value, NULL where there is none
    high     REAL,
    unit     TEXT NOT NULL,
    text     TEXT NOT NULL,           -- the words it was read from
    first_line INTEGER NOT NULL,      -- of what it was read from, in the file
    last_line  INTEGER NOT NULL
);
CREATE INDEX conditions_note ON conditions (note);
CREATE TABLE condition_counts (       -- in how many notes each condition stands
    axis TEXT, value TEXT, polarity TEXT, low REAL, high REAL, unit TEXT, notes INTEGER
);
CREATE TABLE quantities (             -- measured values, see language/quantities
    key       TEXT NOT NULL,          -- bucket in which near values meet
    note      INTEGER NOT NULL REFERENCES notes (id) ON DELETE CASCADE,
    dimension TEXT NOT NULL,
    low       REAL NOT NULL,
    high      REAL NOT NULL,
    unit      TEXT NOT NULL,
    step      REAL NOT NULL,
    text      TEXT NOT NULL
);
CREATE TABLE digests (                -- what the evidence compares, see digests.py
    note   INTEGER PRIMARY KEY REFERENCES notes (id) ON DELETE CASCADE,
    digest TEXT NOT NULL
);
CREATE TABLE causes (                 -- known causes under each noun that names them
    noun       TEXT NOT NULL,
    note       INTEGER NOT NULL REFERENCES notes (id) ON DELETE CASCADE,
    first_line INTEGER NOT NULL,
    last_line  INTEGER NOT NULL,
    reading    TEXT NOT NULL          -- see digests.py
);
CREATE INDEX causes_noun ON causes (noun);
CREATE INDEX causes_note ON causes (note);
CREATE INDEX quantities_key ON quantities (key);
CREATE INDEX quantities_note ON quantities (note);
"""
