-- A third statement on an entry: the kitchen refuses to work by it, with its reason. SQLite can't
-- change a CHECK, so the table is made anew, with the ids that were given out.
CREATE TABLE statement_kept AS SELECT * FROM statement;
DROP TABLE statement;

CREATE TABLE statement (
    id          INTEGER PRIMARY KEY AUTOINCREMENT,
    position    INTEGER NOT NULL CHECK (position >= 1),
    body_digest BLOB    NOT NULL CHECK (length(body_digest) = 32),
    statement   TEXT    NOT NULL CHECK (statement IN ('received', 'in_use', 'refused')),
    at          INTEGER NOT NULL,
    -- Why, for people.
    reason      TEXT    CHECK (length(reason) >= 1),
    sent        INTEGER NOT NULL DEFAULT 0 CHECK (sent IN (0, 1)),
    UNIQUE (position, statement),
    CHECK ((statement = 'refused') = (reason IS NOT NULL))
) STRICT;

INSERT INTO statement (id, position, body_digest, statement, at, sent)
SELECT id, position, body_digest, statement, at, sent FROM statement_kept;
DROP TABLE statement_kept;

CREATE INDEX statement_unsent ON statement (id) WHERE sent = 0;
