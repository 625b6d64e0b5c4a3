-- Notes on the lots that suppliers deliver. A note is added and never changed.
CREATE TABLE lot_note (
    number         INTEGER NOT NULL PRIMARY KEY CHECK (number >= 1),
    request_id     TEXT    NOT NULL UNIQUE CHECK (length(request_id) BETWEEN 1 AND 128),
    request_digest BLOB    NOT NULL CHECK (length(request_digest) = 32),
    recorded_at    INTEGER NOT NULL,
    site           TEXT    NOT NULL REFERENCES site (site),
    ingredient     TEXT    NOT NULL CHECK (length(ingredient) BETWEEN 1 AND 64),
    supplier       TEXT    CHECK (length(supplier) BETWEEN 1 AND 64),
    -- What the supplier wrote on it.
    lot            TEXT    NOT NULL CHECK (length(lot) BETWEEN 1 AND 200),
    event          TEXT    NOT NULL CHECK (event IN ('received', 'used', 'gone')),
    at             INTEGER NOT NULL,
    author         TEXT    NOT NULL
) STRICT;

-- A recall asks for a lot at every site.
CREATE INDEX lot_note_lot ON lot_note (lot, number);
