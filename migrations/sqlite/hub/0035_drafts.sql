-- Drafts, and the log of changes. What a draft holds is bytes as they came, like revisions.

CREATE TABLE draft (
    id             TEXT    NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    state          TEXT    NOT NULL CHECK (state IN
        ('open', 'in-review', 'returned', 'approved', 'released', 'dropped')),
    -- Names what it holds: another with every change of that.
    etag           BLOB    NOT NULL CHECK (length(etag) = 32),
    author         TEXT    NOT NULL,
    note           TEXT    NOT NULL,
    content_digest BLOB    NOT NULL CHECK (length(content_digest) = 32),
    content        BLOB    NOT NULL
) STRICT;

-- All that was done to a draft, in order. Who wrote it and who approves it now is read from here.
CREATE TABLE draft_event (
    draft   TEXT    NOT NULL REFERENCES draft (id),
    number  INTEGER NOT NULL CHECK (number >= 1),
    act     TEXT    NOT NULL CHECK (act IN
        ('create', 'update', 'submit', 'comment', 'approve', 'return', 'drop', 'release')),
    by_name TEXT    NOT NULL,
    at      INTEGER NOT NULL,
    etag    BLOB    NOT NULL CHECK (length(etag) = 32),
    text    TEXT    NOT NULL,
    PRIMARY KEY (draft, number)
) STRICT, WITHOUT ROWID;

-- One row a step. The same request sent again is known by it.
CREATE TABLE draft_request (
    request_id TEXT NOT NULL PRIMARY KEY CHECK (length(request_id) BETWEEN 1 AND 128),
    digest     BLOB NOT NULL CHECK (length(digest) = 32)
) STRICT, WITHOUT ROWID;

-- Who did what when. Rows come in the transaction of what they tell, and never go. The acts and
-- roles aren't listed here: others come to be logged.
CREATE TABLE audit (
    number  INTEGER NOT NULL PRIMARY KEY CHECK (number >= 1),
    at      INTEGER NOT NULL,
    by_name TEXT    NOT NULL,
    -- NULL: the hub asks nobody who they are, and the name is what the call said.
    role    TEXT,
    act     TEXT    NOT NULL,
    subject TEXT    NOT NULL,
    detail  TEXT    NOT NULL
) STRICT;

CREATE TRIGGER audit_is_not_changed BEFORE UPDATE ON audit
BEGIN
    SELECT RAISE(ABORT, 'the log of changes is only added to');
END;

CREATE TRIGGER audit_is_not_shortened BEFORE DELETE ON audit
BEGIN
    SELECT RAISE(ABORT, 'the log of changes is only added to');
END;
