-- A kitchen's replica of its view of the hub. It must go on working for weeks without the hub, so
-- whatever is in here is complete: an entry is only taken once all that it releases is held.
--
-- STRICT everywhere: a figure stored as text by mistake must fail when written, not when read.
-- Moments are milliseconds since the Unix epoch, UTC.

-- One row once the kitchen is enrolled. The cursor is NULL until the first catch-up has ended.
CREATE TABLE replica (
    only_row     INTEGER NOT NULL PRIMARY KEY CHECK (only_row = 1),
    site         TEXT    NOT NULL CHECK (length(site) BETWEEN 1 AND 64),
    enrolled_at  INTEGER NOT NULL,
    -- The end of the last catch-up that reached the hub's end of the feed.
    last_contact INTEGER,
    epoch        TEXT    CHECK (length(epoch) BETWEEN 1 AND 128),
    view         BLOB    CHECK (length(view) = 32),
    position     INTEGER CHECK (position >= 0),
    CHECK ((epoch IS NULL) = (view IS NULL) AND (epoch IS NULL) = (position IS NULL))
) STRICT;

-- Keyed by the digest alone. A hub that was restored from a backup may give a number out a second
-- time, for other content; what the kitchen made by the first must stay readable.
CREATE TABLE revision (
    digest BLOB    NOT NULL PRIMARY KEY CHECK (length(digest) = 32),
    kind   TEXT    NOT NULL CHECK (kind IN ('book', 'ingredient', 'recipe', 'site', 'prices')),
    id     TEXT    NOT NULL CHECK (length(id) BETWEEN 1 AND 64),
    number INTEGER NOT NULL CHECK (number >= 1),
    bytes  BLOB    NOT NULL
) STRICT;

CREATE INDEX revision_document ON revision (kind, id, number);

-- `pinned` has no foreign key on purpose: a revision arrives before what it pins, and the rows here
-- tell what must still be fetched.
CREATE TABLE pin (
    revision BLOB NOT NULL REFERENCES revision (digest),
    pinned   BLOB NOT NULL CHECK (length(pinned) = 32),
    PRIMARY KEY (revision, pinned)
) STRICT, WITHOUT ROWID;

CREATE TABLE entry (
    position          INTEGER NOT NULL PRIMARY KEY CHECK (position >= 1),
    -- The position before this one in this kitchen's view; 0 for the first. A gap shows here.
    previous_position INTEGER NOT NULL CHECK (previous_position >= 0 AND previous_position < position),
    recorded_at       INTEGER NOT NULL,
    kind              TEXT    NOT NULL CHECK (kind IN ('release', 'withdrawal')),
    body_digest       BLOB    NOT NULL CHECK (length(body_digest) = 32),
    body              BLOB    NOT NULL
) STRICT;

-- The documents that an entry concerns: their history decides what is in force.
CREATE TABLE entry_document (
    kind     TEXT    NOT NULL CHECK (kind IN ('book', 'ingredient', 'recipe', 'site', 'prices')),
    id       TEXT    NOT NULL CHECK (length(id) BETWEEN 1 AND 64),
    position INTEGER NOT NULL REFERENCES entry (position),
    PRIMARY KEY (kind, id, position)
) STRICT, WITHOUT ROWID;

-- The revisions without which an entry can't be followed. The foreign key refuses an entry that
-- came before them, whatever the code above it does.
CREATE TABLE entry_need (
    position INTEGER NOT NULL REFERENCES entry (position),
    revision BLOB    NOT NULL REFERENCES revision (digest),
    PRIMARY KEY (position, revision)
) STRICT, WITHOUT ROWID;

-- What the kitchen says about entries, sent or still to be sent. A statement is kept after it was
-- sent: a hub restored from a backup may have lost it and is then told again. AUTOINCREMENT, so
-- that a late "that one was sent" can't hit a newer statement under a used id.
CREATE TABLE statement (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    position    INTEGER NOT NULL CHECK (position >= 1),
    body_digest BLOB    NOT NULL CHECK (length(body_digest) = 32),
    statement   TEXT    NOT NULL CHECK (statement IN ('received', 'in_use')),
    at          INTEGER NOT NULL,
    sent        INTEGER NOT NULL DEFAULT 0 CHECK (sent IN (0, 1)),
    UNIQUE (position, statement)
) STRICT;

CREATE INDEX statement_unsent ON statement (id) WHERE sent = 0;
