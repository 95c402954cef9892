-- +goose Up

-- The shop's own rows of the catalogue: they stand in the place of the built-in ones
-- of the same name, or beside them. Lengths are mm, 0 where not known.
CREATE TABLE goods (
    class   TEXT NOT NULL CHECK (class IN ('flock', 'tape', 'film', 'blank')),
    name    TEXT NOT NULL CHECK (name <> ''),
    width   REAL NOT NULL CHECK (width >= 0),
    height  REAL NOT NULL CHECK (height >= 0),
    cost    TEXT CHECK (cost GLOB '[0-9]*'), -- decimal, of one; NULL: not known
    usual   INTEGER NOT NULL CHECK (usual IN (0, 1)), -- the one of its class that jobs take
    retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
    source  TEXT NOT NULL,
    PRIMARY KEY (class, name)
) STRICT;

CREATE TABLE colours (
    name    TEXT PRIMARY KEY CHECK (name <> ''),
    finish  TEXT NOT NULL,
    shown   TEXT NOT NULL CHECK (shown GLOB '#[0-9a-f][0-9a-f][0-9a-f][0-9a-f][0-9a-f][0-9a-f]'),
    sizes   TEXT NOT NULL, -- with blanks between; '': all
    retired INTEGER NOT NULL CHECK (retired IN (0, 1)),
    source  TEXT NOT NULL
) STRICT;
