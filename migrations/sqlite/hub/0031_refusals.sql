-- A third statement on an entry: a site refuses to work by it, with its reason. SQLite can't change
-- a CHECK, so the table is made anew.
CREATE TABLE acknowledgement_kept AS SELECT * FROM acknowledgement;
DROP TABLE acknowledgement;

-- What a site said about an entry. The statements are apart, none implies another. What was received
-- stays so from its first moment; of uses, and of refusals, the latest stays.
CREATE TABLE acknowledgement (
    position  INTEGER NOT NULL REFERENCES entry (position),
    site      TEXT    NOT NULL CHECK (length(site) BETWEEN 1 AND 64),
    statement TEXT    NOT NULL CHECK (statement IN ('received', 'in_use', 'refused')),
    at        INTEGER NOT NULL,
    -- Why, for people.
    reason    TEXT    CHECK (length(reason) >= 1),
    PRIMARY KEY (position, site, statement),
    CHECK ((statement = 'refused') = (reason IS NOT NULL))
) STRICT, WITHOUT ROWID;

INSERT INTO acknowledgement (position, site, statement, at)
SELECT position, site, statement, at FROM acknowledgement_kept;
DROP TABLE acknowledgement_kept;
