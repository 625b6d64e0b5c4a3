-- Drafts, and the log of changes. What a draft holds is bytes as they came, like revisions.

-- Whoever takes a step locks the row of the draft first, so that steps come one after the other.
CREATE TABLE draft (
    id             TEXT COLLATE "C" NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    state          TEXT             NOT NULL CHECK (state IN
        ('open', 'in-review', 'returned', 'approved', 'released', 'dropped')),
    -- Names what it holds: another with every change of that.
    etag           BYTEA            NOT NULL CHECK (octet_length(etag) = 32),
    author         TEXT             NOT NULL,
    note           TEXT             NOT NULL,
    content_digest BYTEA            NOT NULL CHECK (octet_length(content_digest) = 32),
    content        BYTEA            NOT NULL
);

-- All that was done to a draft, in order. Who wrote it and who approves it now is read from here.
CREATE TABLE draft_event (
    draft   TEXT COLLATE "C" NOT NULL REFERENCES draft (id),
    number  BIGINT           NOT NULL CHECK (number >= 1),
    act     TEXT             NOT NULL CHECK (act IN
        ('create', 'update', 'submit', 'comment', 'approve', 'return', 'drop', 'release')),
    by_name TEXT             NOT NULL,
    at      BIGINT           NOT NULL,
    etag    BYTEA            NOT NULL CHECK (octet_length(etag) = 32),
    text    TEXT             NOT NULL,
    PRIMARY KEY (draft, number)
);

-- The last number of the log. It is drawn together with the position, from the one row for which
-- all changes wait, in their last statement.
ALTER TABLE feed ADD COLUMN audited BIGINT NOT NULL DEFAULT 0 CHECK (audited >= 0);

-- Who did what when. Rows come in the transaction of what they tell, and never go. The acts and
-- roles aren't listed here: others come to be logged.
CREATE TABLE audit (
    number  BIGINT NOT NULL PRIMARY KEY CHECK (number >= 1),
    at      BIGINT NOT NULL,
    by_name TEXT   NOT NULL,
    -- NULL: the hub asks nobody who they are, and the name is what the call said.
    role    TEXT,
    act     TEXT   NOT NULL,
    subject TEXT   NOT NULL,
    detail  TEXT   NOT NULL
);

CREATE FUNCTION audit_is_only_added_to() RETURNS trigger LANGUAGE plpgsql AS
$$ BEGIN RAISE EXCEPTION 'the log of changes is only added to'; END $$;

CREATE TRIGGER audit_is_kept BEFORE UPDATE OR DELETE OR TRUNCATE ON audit
    FOR EACH STATEMENT EXECUTE FUNCTION audit_is_only_added_to();
