-- +goose Up

CREATE TABLE suppliers (
    name     TEXT PRIMARY KEY CHECK (name <> ''),
    delivery TEXT NOT NULL CHECK (delivery GLOB '[0-9]*') -- decimal, of one order
) STRICT;

-- The suppliers that lots came from already.
INSERT INTO suppliers (name, delivery) SELECT DISTINCT supplier, '0' FROM lots WHERE supplier <> '';

CREATE TABLE packs (
    id       INTEGER PRIMARY KEY,
    supplier TEXT NOT NULL REFERENCES suppliers (name),
    size     TEXT NOT NULL,
    colour   TEXT NOT NULL,
    labelled INTEGER NOT NULL CHECK (labelled > 0),
    filled   TEXT NOT NULL CHECK (filled IN ('pieces', 'weight')),
    UNIQUE (supplier, size, colour, labelled, filled)
) STRICT;

CREATE TABLE prices (
    pack    INTEGER NOT NULL REFERENCES packs (id) ON DELETE CASCADE,
    at_least INTEGER NOT NULL CHECK (at_least > 0), -- from so many packs on
    price   TEXT NOT NULL CHECK (price GLOB '[0-9]*'), -- decimal, of one pack
    PRIMARY KEY (pack, at_least)
) STRICT, WITHOUT ROWID;
