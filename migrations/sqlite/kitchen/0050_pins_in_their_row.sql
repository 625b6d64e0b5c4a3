-- What a revision pins and what an entry needs stand in their rows. A first synchronisation brings
-- thousands of revisions with tens of thousands of pins: as rows of their own those took longer than
-- all else. Digests of 32 bytes stand one after the other. Nothing looks a revision up by its number,
-- so that index goes, too.
ALTER TABLE entry ADD COLUMN needs BLOB NOT NULL DEFAULT x'' CHECK (length(needs) % 32 = 0);

UPDATE entry SET needs = coalesce(
    (SELECT unhex(group_concat(hex(revision), '')) FROM entry_need WHERE entry_need.position = entry.position),
    x''
);
DROP TABLE entry_need;

CREATE TABLE revision_kept AS
SELECT
    digest, kind, id, number, bytes,
    (SELECT unhex(group_concat(hex(pinned), '')) FROM pin WHERE pin.revision = revision.digest) AS pins
FROM revision;
DROP TABLE pin;
DROP TABLE revision;

CREATE TABLE revision (
    digest BLOB    NOT NULL PRIMARY KEY CHECK (length(digest) = 32),
    kind   TEXT    NOT NULL CHECK (kind IN ('book', 'ingredient', 'recipe', 'site', 'prices')),
    id     TEXT    NOT NULL CHECK (length(id) BETWEEN 1 AND 64),
    number INTEGER NOT NULL CHECK (number >= 1),
    -- What they name may not be held yet: a revision arrives before what it pins, and these tell what
    -- must still be fetched. They stand before the bytes, so that those needn't be read on the way.
    pins   BLOB    NOT NULL CHECK (length(pins) % 32 = 0),
    bytes  BLOB    NOT NULL
) STRICT;

INSERT INTO revision (digest, kind, id, number, pins, bytes)
SELECT digest, kind, id, number, coalesce(pins, x''), bytes
FROM revision_kept;
DROP TABLE revision_kept;
