-- Signatures beside what they cover, whom the kitchen trusts, and the newest that was vouched for. All
-- are kept as they came.

-- One after the other, by key: 32 bytes of the key, 64 of the signature.
ALTER TABLE entry ADD COLUMN signatures BLOB NOT NULL DEFAULT x'' CHECK (length(signatures) % 96 = 0);

-- One row once a root is pinned. The checkpoint is NULL until something was taken under it, and is
-- written together with the cursor.
CREATE TABLE trust (
    only_row              INTEGER NOT NULL PRIMARY KEY CHECK (only_row = 1),
    version               INTEGER NOT NULL CHECK (version >= 1),
    digest                BLOB    NOT NULL CHECK (length(digest) = 32),
    root                  BLOB    NOT NULL,
    signatures            BLOB    NOT NULL CHECK (length(signatures) % 96 = 0),
    checkpoint_at         INTEGER,
    checkpoint_digest     BLOB    CHECK (length(checkpoint_digest) = 32),
    checkpoint            BLOB,
    checkpoint_signatures BLOB    CHECK (length(checkpoint_signatures) % 96 = 0),
    CHECK (
        (checkpoint_at IS NULL) = (checkpoint IS NULL)
        AND (checkpoint_digest IS NULL) = (checkpoint IS NULL)
        AND (checkpoint_signatures IS NULL) = (checkpoint IS NULL)
    )
) STRICT;
