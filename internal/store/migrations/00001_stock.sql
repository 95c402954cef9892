-- +goose Up

-- "Bfsh": tells that a SQLite file is a book, to us and to file(1).
PRAGMA application_id = 0x42667368;

CREATE TABLE lots (
    id       INTEGER PRIMARY KEY,
    size     TEXT NOT NULL,
    colour   TEXT NOT NULL,
    supplier TEXT NOT NULL,
    cost     TEXT CHECK (cost GLOB '[0-9]*') -- decimal, of the whole lot; NULL: not known
) STRICT;
CREATE INDEX lots_kind ON lots (size, colour);

-- What was done, as it was said.
CREATE TABLE deeds (
    id      INTEGER PRIMARY KEY,
    at      TEXT NOT NULL, -- RFC 3339, UTC
    what    TEXT NOT NULL CHECK (what IN ('received', 'used', 'counted', 'spoiled', 'moved')),
    size    TEXT NOT NULL,
    colour  TEXT NOT NULL,
    pieces  INTEGER NOT NULL CHECK (pieces > 0 OR (pieces = 0 AND what = 'counted')),
    place   TEXT NOT NULL CHECK (place <> ''),
    towards TEXT NOT NULL CHECK ((what = 'moved') = (towards <> '')),
    lot     INTEGER REFERENCES lots (id), -- where one lot was named
    note    TEXT NOT NULL
) STRICT;

-- What it did to the lots. On hand is the sum of pieces.
CREATE TABLE entries (
    id     INTEGER PRIMARY KEY,
    deed   INTEGER NOT NULL REFERENCES deeds (id),
    what   TEXT NOT NULL, -- the deed's, so that lots can be summed without it
    lot    INTEGER NOT NULL REFERENCES lots (id),
    place  TEXT NOT NULL CHECK (place <> ''),
    pieces INTEGER NOT NULL CHECK (pieces <> 0)
) STRICT;
CREATE INDEX entries_lot ON entries (lot, place, what, pieces);
CREATE INDEX entries_deed ON entries (deed);

-- The ledger is only added to. The insert triggers keep INSERT OR REPLACE from
-- deleting first, which fires no delete trigger.
-- +goose StatementBegin
CREATE TRIGGER lots_keep_update BEFORE UPDATE ON lots BEGIN SELECT RAISE(ABORT, 'ledger: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER lots_keep_delete BEFORE DELETE ON lots BEGIN SELECT RAISE(ABORT, 'ledger: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER lots_keep_insert BEFORE INSERT ON lots WHEN EXISTS (SELECT 1 FROM lots WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'ledger: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER deeds_keep_update BEFORE UPDATE ON deeds BEGIN SELECT RAISE(ABORT, 'ledger: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER deeds_keep_delete BEFORE DELETE ON deeds BEGIN SELECT RAISE(ABORT, 'ledger: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER deeds_keep_insert BEFORE INSERT ON deeds WHEN EXISTS (SELECT 1 FROM deeds WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'ledger: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER entries_keep_update BEFORE UPDATE ON entries BEGIN SELECT RAISE(ABORT, 'ledger: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER entries_keep_delete BEFORE DELETE ON entries BEGIN SELECT RAISE(ABORT, 'ledger: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER entries_keep_insert BEFORE INSERT ON entries WHEN EXISTS (SELECT 1 FROM entries WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'ledger: only added to'); END;
-- +goose StatementEnd

-- An entry is of its deed's kind, does what the deed says and has its sign.
-- +goose StatementBegin
CREATE TRIGGER entries_fit BEFORE INSERT ON entries
WHEN NOT EXISTS (
    SELECT 1 FROM deeds d JOIN lots l ON l.id = NEW.lot AND l.size = d.size AND l.colour = d.colour
    WHERE d.id = NEW.deed AND d.what = NEW.what AND (d.lot IS NULL OR d.lot = NEW.lot)
)
OR (NEW.what = 'received' AND NEW.pieces < 0) OR (NEW.what IN ('used', 'spoiled') AND NEW.pieces > 0)
BEGIN SELECT RAISE(ABORT, 'ledger: the entry does not fit its deed'); END;
-- +goose StatementEnd

-- No lot has less than nothing anywhere.
-- +goose StatementBegin
CREATE TRIGGER entries_below AFTER INSERT ON entries
WHEN (SELECT SUM(pieces) FROM entries WHERE lot = NEW.lot AND place = NEW.place) < 0
BEGIN SELECT RAISE(ABORT, 'ledger: below nothing'); END;
-- +goose StatementEnd
