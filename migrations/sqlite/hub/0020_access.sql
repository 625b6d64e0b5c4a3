-- Who may reach the hub. Codes and tokens are random bits of which nothing but the SHA-256 digest
-- is kept: nobody who reads this file can join or call by it.

-- A name is never given again, so that whoever reads an old line of the log knows who it was.
CREATE TABLE account (
    name       TEXT    NOT NULL PRIMARY KEY CHECK (octet_length(name) BETWEEN 1 AND 200),
    role       TEXT    NOT NULL CHECK (role IN ('chef', 'deputy', 'kitchen', 'reader')),
    site       TEXT    CHECK (length(site) BETWEEN 1 AND 64),
    created_at INTEGER NOT NULL,
    revoked_at INTEGER,
    CHECK (CASE role WHEN 'kitchen' THEN site IS NOT NULL WHEN 'reader' THEN TRUE ELSE site IS NULL END)
) STRICT, WITHOUT ROWID;

CREATE TABLE access_token (
    token        TEXT    NOT NULL PRIMARY KEY CHECK (length(token) BETWEEN 1 AND 128),
    account      TEXT    NOT NULL REFERENCES account (name),
    digest       BLOB    NOT NULL CHECK (length(digest) = 32),
    created_at   INTEGER NOT NULL,
    expires_at   INTEGER,
    last_used_at INTEGER,
    revoked_at   INTEGER
) STRICT, WITHOUT ROWID;

CREATE INDEX access_token_account ON access_token (account);

-- A code serves once: `token` is the one that was got by it. A wrong one is counted.
CREATE TABLE enrolment (
    enrolment        TEXT    NOT NULL PRIMARY KEY CHECK (length(enrolment) BETWEEN 1 AND 128),
    account          TEXT    NOT NULL REFERENCES account (name),
    code_digest      BLOB    NOT NULL CHECK (length(code_digest) = 32),
    created_at       INTEGER NOT NULL,
    expires_at       INTEGER NOT NULL,
    token_expires_at INTEGER,
    failures         INTEGER NOT NULL DEFAULT 0 CHECK (failures >= 0),
    token            TEXT    UNIQUE REFERENCES access_token (token)
) STRICT, WITHOUT ROWID;

CREATE INDEX enrolment_account ON enrolment (account);

-- One row a change of the above that a client named. The same request sent again changes nothing.
CREATE TABLE access_request (
    request_id TEXT NOT NULL PRIMARY KEY CHECK (length(request_id) BETWEEN 1 AND 128),
    digest     BLOB NOT NULL CHECK (length(digest) = 32)
) STRICT, WITHOUT ROWID;
