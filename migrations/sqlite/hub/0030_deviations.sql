-- Deviations: what sites ask, and which entry of the feed decides it.

-- A new kind of entry. SQLite can't change a CHECK, so the table is made anew. The rows that refer
-- to it wait until the commit, when each has its entry again.
PRAGMA defer_foreign_keys = ON;

CREATE TABLE entry_kept AS SELECT * FROM entry;
DROP TABLE entry;

CREATE TABLE entry (
    position    INTEGER NOT NULL PRIMARY KEY CHECK (position >= 1),
    -- The last position of the same commit. A page that holds this row reaches to there, so that a
    -- reader never sees half a release.
    commit_last INTEGER NOT NULL CHECK (commit_last >= position),
    recorded_at INTEGER NOT NULL,
    kind        TEXT    NOT NULL CHECK (kind IN ('release', 'withdrawal', 'deviation')),
    release_id  TEXT    CHECK (length(release_id) BETWEEN 1 AND 64),
    part        INTEGER CHECK (part >= 1),
    body_digest BLOB    NOT NULL CHECK (length(body_digest) = 32),
    body        BLOB    NOT NULL,
    -- Also the index that finds a release.
    UNIQUE (release_id, part),
    CHECK ((kind = 'release') = (release_id IS NOT NULL) AND (release_id IS NULL) = (part IS NULL))
) STRICT;

INSERT INTO entry (position, commit_last, recorded_at, kind, release_id, part, body_digest, body)
SELECT position, commit_last, recorded_at, kind, release_id, part, body_digest, body
FROM entry_kept;
DROP TABLE entry_kept;

-- What was asked, as it came, and the last decision.
CREATE TABLE deviation (
    id           TEXT    NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    site         TEXT    NOT NULL REFERENCES site (site),
    recipe       TEXT    NOT NULL CHECK (length(recipe) BETWEEN 1 AND 64),
    asked_at     INTEGER NOT NULL,
    asked_digest BLOB    NOT NULL CHECK (length(asked_digest) = 32),
    -- NULL: nothing was decided yet.
    decided      INTEGER REFERENCES entry (position),
    asked        BLOB    NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX deviation_site ON deviation (site, id);
