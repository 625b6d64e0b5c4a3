-- Who may reach the hub. Codes and tokens are random bits of which nothing but the SHA-256 digest
-- is kept: nobody who reads these tables can join or call by them.

-- A name is never given again, so that whoever reads an old line of the log knows who it was.
CREATE TABLE account (
    name       TEXT COLLATE "C" NOT NULL PRIMARY KEY CHECK (octet_length(name) BETWEEN 1 AND 200),
    role       TEXT COLLATE "C" NOT NULL CHECK (role IN ('chef', 'deputy', 'kitchen', 'reader')),
    site       TEXT COLLATE "C" CHECK (length(site) BETWEEN 1 AND 64),
    created_at BIGINT           NOT NULL,
    revoked_at BIGINT,
    CHECK (CASE role WHEN 'kitchen' THEN site IS NOT NULL WHEN 'reader' THEN TRUE ELSE site IS NULL END)
);

CREATE TABLE access_token (
    token        TEXT COLLATE "C" NOT NULL PRIMARY KEY CHECK (length(token) BETWEEN 1 AND 128),
    account      TEXT COLLATE "C" NOT NULL REFERENCES account (name),
    digest       BYTEA            NOT NULL CHECK (octet_length(digest) = 32),
    created_at   BIGINT           NOT NULL,
    expires_at   BIGINT,
    last_used_at BIGINT,
    revoked_at   BIGINT
);

CREATE INDEX access_token_account ON access_token (account);

-- A code serves once: `token` is the one that was got by it. A wrong one is counted. Whoever tries a
-- code locks its row first, so that of two who try at once the second sees what the first did.
CREATE TABLE enrolment (
    enrolment        TEXT COLLATE "C" NOT NULL PRIMARY KEY CHECK (length(enrolment) BETWEEN 1 AND 128),
    account          TEXT COLLATE "C" NOT NULL REFERENCES account (name),
    code_digest      BYTEA            NOT NULL CHECK (octet_length(code_digest) = 32),
    created_at       BIGINT           NOT NULL,
    expires_at       BIGINT           NOT NULL,
    token_expires_at BIGINT,
    failures         BIGINT           NOT NULL DEFAULT 0 CHECK (failures BETWEEN 0 AND 4294967295),
    token            TEXT COLLATE "C" UNIQUE REFERENCES access_token (token)
);

CREATE INDEX enrolment_account ON enrolment (account);

-- One row a change of the above that a client named. The same request sent again, to whichever hub,
-- waits here for the first and changes nothing.
CREATE TABLE access_request (
    request_id TEXT COLLATE "C" NOT NULL PRIMARY KEY CHECK (length(request_id) BETWEEN 1 AND 128),
    digest     BYTEA            NOT NULL CHECK (octet_length(digest) = 32)
);
