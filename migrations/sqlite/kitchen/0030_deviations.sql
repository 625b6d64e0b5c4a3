-- A new kind of entry: decisions on deviations. SQLite can't change a CHECK, so the table is made
-- anew. The rows that refer to it wait until the commit, when each has its entry again.
PRAGMA defer_foreign_keys = ON;

CREATE TABLE entry_kept AS SELECT * FROM entry;
DROP TABLE entry;

CREATE TABLE entry (
    position          INTEGER NOT NULL PRIMARY KEY CHECK (position >= 1),
    -- The position before this one in this kitchen's view; 0 for the first. A gap shows here.
    previous_position INTEGER NOT NULL CHECK (previous_position >= 0 AND previous_position < position),
    recorded_at       INTEGER NOT NULL,
    kind              TEXT    NOT NULL CHECK (kind IN ('release', 'withdrawal', 'deviation')),
    body_digest       BLOB    NOT NULL CHECK (length(body_digest) = 32),
    body              BLOB    NOT NULL
) STRICT;

INSERT INTO entry (position, previous_position, recorded_at, kind, body_digest, body)
SELECT position, previous_position, recorded_at, kind, body_digest, body
FROM entry_kept;
DROP TABLE entry_kept;
