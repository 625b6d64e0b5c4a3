-- The hub's store. Revisions and the bodies of feed entries are bytes as they came; the other
-- columns are facts that were given beside the bytes so that SQL can find them. Nothing in here
-- is worked out from the bytes.
--
-- STRICT everywhere: a figure stored as text by mistake must fail when written, not when read.
-- Moments are milliseconds since the Unix epoch, UTC.

-- The one counter. Its update is the last statement of every commit, so that positions are dense
-- and a reader that saw position n can't later find a new entry at or before n.
CREATE TABLE feed (
    only_row INTEGER NOT NULL PRIMARY KEY CHECK (only_row = 1),
    epoch    TEXT    NOT NULL CHECK (length(epoch) BETWEEN 1 AND 128),
    position INTEGER NOT NULL CHECK (position >= 0)
) STRICT;

-- `bytes` stands last: rows are read for their facts more often than for their content, and SQLite
-- then never touches the overflow pages.
CREATE TABLE revision (
    digest          BLOB    NOT NULL PRIMARY KEY CHECK (length(digest) = 32),
    kind            TEXT    NOT NULL CHECK (kind IN ('book', 'ingredient', 'recipe', 'site', 'prices')),
    id              TEXT    NOT NULL CHECK (length(id) BETWEEN 1 AND 64),
    number          INTEGER NOT NULL CHECK (number >= 1),
    -- NULL: everyone may read it.
    visible_to_site TEXT    CHECK (length(visible_to_site) BETWEEN 1 AND 64),
    bytes           BLOB    NOT NULL,
    -- Two revisions of one document never carry one number: the second writer is refused. Also the
    -- index that finds the latest revision of each document.
    UNIQUE (kind, id, number)
) STRICT;

-- What a revision uses directly. Both ends must exist, so a pin can't dangle.
CREATE TABLE pin (
    revision BLOB NOT NULL REFERENCES revision (digest),
    pinned   BLOB NOT NULL REFERENCES revision (digest),
    PRIMARY KEY (revision, pinned)
) STRICT, WITHOUT ROWID;

-- The groups that a revision of a site document puts its site in. Kept for each revision, because a
-- release or a withdrawal may put an older one in force again.
CREATE TABLE site_group (
    revision   BLOB NOT NULL REFERENCES revision (digest),
    group_name TEXT NOT NULL CHECK (length(group_name) BETWEEN 1 AND 64),
    PRIMARY KEY (revision, group_name)
) STRICT, WITHOUT ROWID;

-- The revision of each site's document that counts now: the one released last.
CREATE TABLE site (
    site     TEXT NOT NULL PRIMARY KEY CHECK (length(site) BETWEEN 1 AND 64),
    revision BLOB NOT NULL REFERENCES revision (digest)
) STRICT, WITHOUT ROWID;

-- One row a commit. The same request sent again is answered from here.
CREATE TABLE request (
    request_id     TEXT    NOT NULL PRIMARY KEY CHECK (length(request_id) BETWEEN 1 AND 128),
    digest         BLOB    NOT NULL CHECK (length(digest) = 32),
    first_position INTEGER NOT NULL CHECK (first_position >= 1),
    last_position  INTEGER NOT NULL CHECK (last_position >= first_position)
) STRICT, WITHOUT ROWID;

-- A feed entry is a part of a release or a withdrawal.
CREATE TABLE entry (
    position    INTEGER NOT NULL PRIMARY KEY CHECK (position >= 1),
    -- The last position of the same commit. A page that holds this row reaches to there, so that a
    -- reader never sees half a release.
    commit_last INTEGER NOT NULL CHECK (commit_last >= position),
    recorded_at INTEGER NOT NULL,
    kind        TEXT    NOT NULL CHECK (kind IN ('release', 'withdrawal')),
    release_id  TEXT    CHECK (length(release_id) BETWEEN 1 AND 64),
    part        INTEGER CHECK (part >= 1),
    body_digest BLOB    NOT NULL CHECK (length(body_digest) = 32),
    body        BLOB    NOT NULL,
    -- Also the index that finds a release.
    UNIQUE (release_id, part),
    CHECK ((kind = 'release') = (release_id IS NOT NULL) AND (release_id IS NULL) = (part IS NULL))
) STRICT;

-- The revisions that a part of a release puts in force. Keyed for "was this ever released".
CREATE TABLE entry_item (
    revision BLOB    NOT NULL REFERENCES revision (digest),
    position INTEGER NOT NULL REFERENCES entry (position),
    PRIMARY KEY (revision, position)
) STRICT, WITHOUT ROWID;

-- And for "what did this commit release".
CREATE INDEX entry_item_position ON entry_item (position);

-- The documents that an entry concerns: their history decides what is in force.
CREATE TABLE entry_document (
    kind     TEXT    NOT NULL CHECK (kind IN ('book', 'ingredient', 'recipe', 'site', 'prices')),
    id       TEXT    NOT NULL CHECK (length(id) BETWEEN 1 AND 64),
    position INTEGER NOT NULL REFERENCES entry (position),
    PRIMARY KEY (kind, id, position)
) STRICT, WITHOUT ROWID;

-- Whom an entry addresses, keyed for the reader: a site's view is the union of a few ranges of this
-- table (all, the site itself, each of its groups), each already in the order of positions.
CREATE TABLE addressee (
    scope    TEXT    NOT NULL CHECK (scope IN ('all', 'group', 'site')),
    name     TEXT    NOT NULL CHECK ((scope = 'all') = (name = '')),
    position INTEGER NOT NULL REFERENCES entry (position),
    PRIMARY KEY (scope, name, position)
) STRICT, WITHOUT ROWID;

-- What a site said about an entry. "Received" and "in use" are two statements, neither implies the
-- other. The first moment stays: an acknowledgement that is sent again changes nothing.
CREATE TABLE acknowledgement (
    position  INTEGER NOT NULL REFERENCES entry (position),
    site      TEXT    NOT NULL CHECK (length(site) BETWEEN 1 AND 64),
    statement TEXT    NOT NULL CHECK (statement IN ('received', 'in_use')),
    at        INTEGER NOT NULL,
    PRIMARY KEY (position, site, statement)
) STRICT, WITHOUT ROWID;
