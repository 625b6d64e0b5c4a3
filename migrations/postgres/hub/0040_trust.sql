-- Signatures beside what they cover, and whose signatures count. Both are kept as they came.

-- One after the other, by key: 32 bytes of the key, 64 of the signature.
ALTER TABLE entry ADD COLUMN signatures bytea NOT NULL DEFAULT ''
    CHECK (octet_length(signatures) % 96 = 0);

-- The versions of the root of trust, dense from 1.
CREATE TABLE trust_root (
    version    bigint NOT NULL PRIMARY KEY CHECK (version >= 1),
    digest     bytea  NOT NULL CHECK (octet_length(digest) = 32),
    body       bytea  NOT NULL,
    signatures bytea  NOT NULL CHECK (octet_length(signatures) % 96 = 0)
);
