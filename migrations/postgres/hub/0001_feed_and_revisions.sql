-- The hub's store. Revisions and the bodies of feed entries are bytes as they came; the other
-- columns are facts that were given beside the bytes so that SQL can find them. Nothing in here
-- is worked out from the bytes.
--
-- Names are compared byte by byte (collation "C") wherever an order is shown to a reader: the order
-- must not depend on the language of the machine. Moments are milliseconds since the Unix epoch,
-- UTC.

-- The one counter. Its update is the last statement of every commit, so that positions are dense
-- and a reader that saw position n can't later find a new entry at or before n: who updates it
-- waits for the commit of the one before.
CREATE TABLE feed (
    only_row BOOLEAN NOT NULL DEFAULT TRUE PRIMARY KEY CHECK (only_row),
    epoch    TEXT    NOT NULL CHECK (length(epoch) BETWEEN 1 AND 128),
    position BIGINT  NOT NULL CHECK (position >= 0)
);

CREATE TABLE revision (
    digest          BYTEA            NOT NULL PRIMARY KEY CHECK (octet_length(digest) = 32),
    kind            TEXT COLLATE "C" NOT NULL CHECK (kind IN ('book', 'ingredient', 'recipe', 'site', 'prices')),
    id              TEXT COLLATE "C" NOT NULL CHECK (length(id) BETWEEN 1 AND 64),
    number          BIGINT           NOT NULL CHECK (number BETWEEN 1 AND 4294967295),
    -- NULL: everyone may read it.
    visible_to_site TEXT COLLATE "C" CHECK (length(visible_to_site) BETWEEN 1 AND 64),
    bytes           BYTEA            NOT NULL,
    -- Two revisions of one document never carry one number: of two writers the second waits for the
    -- first and is then refused. Also the index that finds the latest revision of each document.
    UNIQUE (kind, id, number)
);

-- What a revision uses directly. Both ends must exist, so a pin can't dangle.
CREATE TABLE pin (
    revision BYTEA NOT NULL REFERENCES revision (digest),
    pinned   BYTEA NOT NULL REFERENCES revision (digest),
    PRIMARY KEY (revision, pinned)
);

-- The groups that a revision of a site document puts its site in. Kept for each revision, because a
-- release or a withdrawal may put an older one in force again.
CREATE TABLE site_group (
    revision   BYTEA            NOT NULL REFERENCES revision (digest),
    group_name TEXT COLLATE "C" NOT NULL CHECK (length(group_name) BETWEEN 1 AND 64),
    PRIMARY KEY (revision, group_name)
);

-- The revision of each site's document that counts now: the one released last. Whoever may change a
-- row locks it before the counter, so that "last" is by position.
CREATE TABLE site (
    site     TEXT COLLATE "C" NOT NULL PRIMARY KEY CHECK (length(site) BETWEEN 1 AND 64),
    revision BYTEA            NOT NULL REFERENCES revision (digest)
);

-- One row a commit, made first: the same request sent again, to whichever hub, waits here for the
-- first and is then answered with the positions of its entries.
CREATE TABLE request (
    request_id TEXT COLLATE "C" NOT NULL PRIMARY KEY CHECK (length(request_id) BETWEEN 1 AND 128),
    digest     BYTEA            NOT NULL CHECK (octet_length(digest) = 32)
);

-- A feed entry is a part of a release or a withdrawal. Its number is of no meaning; it stands in
-- the feed where `place` puts it.
CREATE TABLE entry (
    entry_id    BIGINT           NOT NULL GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    request_id  TEXT COLLATE "C" NOT NULL REFERENCES request (request_id),
    recorded_at BIGINT           NOT NULL,
    kind        TEXT             NOT NULL CHECK (kind IN ('release', 'withdrawal')),
    release_id  TEXT COLLATE "C" CHECK (length(release_id) BETWEEN 1 AND 64),
    part        BIGINT           CHECK (part >= 1),
    body_digest BYTEA            NOT NULL CHECK (octet_length(body_digest) = 32),
    body        BYTEA            NOT NULL,
    -- Also the index that finds a release.
    UNIQUE (release_id, part),
    CHECK ((kind = 'release') = (release_id IS NOT NULL) AND (release_id IS NULL) = (part IS NULL))
);

CREATE INDEX entry_request ON entry (request_id);

-- The revisions that a part of a release puts in force. Keyed for "was this ever released".
CREATE TABLE entry_item (
    revision BYTEA  NOT NULL REFERENCES revision (digest),
    entry_id BIGINT NOT NULL REFERENCES entry (entry_id),
    PRIMARY KEY (revision, entry_id)
);

-- The documents that an entry concerns: their history decides what is in force.
CREATE TABLE entry_document (
    kind     TEXT COLLATE "C" NOT NULL CHECK (kind IN ('book', 'ingredient', 'recipe', 'site', 'prices')),
    id       TEXT COLLATE "C" NOT NULL CHECK (length(id) BETWEEN 1 AND 64),
    entry_id BIGINT           NOT NULL REFERENCES entry (entry_id),
    PRIMARY KEY (kind, id, entry_id)
);

-- Where an entry stands, and whom it addresses. The rows of these two are narrow and all that is
-- written while the counter is held: everything else about an entry comes before.
CREATE TABLE place (
    position    BIGINT NOT NULL PRIMARY KEY CHECK (position >= 1),
    -- The last position of the same commit. A page that holds this row reaches to there, so that a
    -- reader never sees half a release.
    commit_last BIGINT NOT NULL CHECK (commit_last >= position),
    entry_id    BIGINT NOT NULL UNIQUE REFERENCES entry (entry_id)
);

-- Keyed for the reader: a site's view is the union of a few ranges of this table (all, the site
-- itself, each of its groups), each already in the order of positions.
CREATE TABLE addressee (
    name     TEXT COLLATE "C" NOT NULL CHECK (name = 'all' OR name ~ '^(group|site)/.'),
    position BIGINT           NOT NULL REFERENCES place (position),
    PRIMARY KEY (name, position)
);

-- What a site said about an entry. "Received" and "in use" are two statements, neither implies the
-- other. The first moment stays: an acknowledgement that is sent again changes nothing.
CREATE TABLE acknowledgement (
    position  BIGINT           NOT NULL REFERENCES place (position),
    site      TEXT COLLATE "C" NOT NULL CHECK (length(site) BETWEEN 1 AND 64),
    statement TEXT COLLATE "C" NOT NULL CHECK (statement IN ('received', 'in_use')),
    at        BIGINT           NOT NULL,
    PRIMARY KEY (position, site, statement)
);
