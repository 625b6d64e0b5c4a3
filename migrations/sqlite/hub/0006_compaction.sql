-- Up to which position sites' views were compacted: of the entries up to there, those that are
-- passed over have no rows in `addressee` any more. The whole view still shows them.
ALTER TABLE feed ADD COLUMN oldest INTEGER NOT NULL DEFAULT 0 CHECK (oldest BETWEEN 0 AND position);
