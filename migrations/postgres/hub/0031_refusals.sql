-- A third statement on an entry: a site refuses to work by it, with its reason. Of uses, and of
-- refusals, the latest stays from now on.
ALTER TABLE acknowledgement
    DROP CONSTRAINT acknowledgement_statement_check,
    ADD COLUMN reason TEXT CHECK (length(reason) >= 1),
    ADD CONSTRAINT acknowledgement_statement_check
        CHECK (statement IN ('received', 'in_use', 'refused')),
    ADD CONSTRAINT acknowledgement_reason_given
        CHECK ((statement = 'refused') = (reason IS NOT NULL));
