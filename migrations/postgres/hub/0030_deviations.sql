-- Deviations: what sites ask, and which entry of the feed decides it.

ALTER TABLE entry DROP CONSTRAINT entry_kind_check;
ALTER TABLE entry ADD CONSTRAINT entry_kind_check
    CHECK (kind IN ('release', 'withdrawal', 'deviation'));

-- What was asked, as it came, and the last decision. Whoever decides locks the row before the
-- counter, so that "last" is by position.
CREATE TABLE deviation (
    id           TEXT COLLATE "C" NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    site         TEXT COLLATE "C" NOT NULL REFERENCES site (site),
    recipe       TEXT COLLATE "C" NOT NULL CHECK (length(recipe) BETWEEN 1 AND 64),
    asked_at     BIGINT           NOT NULL,
    asked_digest BYTEA            NOT NULL CHECK (octet_length(asked_digest) = 32),
    asked        BYTEA            NOT NULL,
    -- NULL: nothing was decided yet.
    decided      BIGINT           REFERENCES entry (entry_id)
);

CREATE INDEX deviation_site ON deviation (site, id);
