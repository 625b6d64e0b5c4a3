-- Notes on the lots that suppliers deliver. A note is added and never changed.
CREATE TABLE lot_note (
    -- A request that arrives twice at once may leave a number out.
    number         BIGINT           GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    request_id     TEXT COLLATE "C" NOT NULL UNIQUE CHECK (length(request_id) BETWEEN 1 AND 128),
    request_digest BYTEA            NOT NULL CHECK (octet_length(request_digest) = 32),
    recorded_at    BIGINT           NOT NULL,
    site           TEXT COLLATE "C" NOT NULL REFERENCES site (site),
    ingredient     TEXT COLLATE "C" NOT NULL CHECK (length(ingredient) BETWEEN 1 AND 64),
    supplier       TEXT COLLATE "C" CHECK (length(supplier) BETWEEN 1 AND 64),
    -- What the supplier wrote on it.
    lot            TEXT COLLATE "C" NOT NULL CHECK (length(lot) BETWEEN 1 AND 200),
    event          TEXT COLLATE "C" NOT NULL CHECK (event IN ('received', 'used', 'gone')),
    at             BIGINT           NOT NULL,
    author         TEXT             NOT NULL
);

-- A recall asks for a lot at every site.
CREATE INDEX lot_note_lot ON lot_note (lot, number);
