-- Signatures beside what they cover, and whose signatures count. Both are kept as they came.

-- One after the other, by key: 32 bytes of the key, 64 of the signature.
ALTER TABLE entry ADD COLUMN signatures BLOB NOT NULL DEFAULT x'' CHECK (length(signatures) % 96 = 0);

-- The versions of the root of trust, dense from 1.
CREATE TABLE trust_root (
    version    INTEGER NOT NULL PRIMARY KEY CHECK (version >= 1),
    digest     BLOB    NOT NULL CHECK (length(digest) = 32),
    body       BLOB    NOT NULL,
    signatures BLOB    NOT NULL CHECK (length(signatures) % 96 = 0)
) STRICT;
