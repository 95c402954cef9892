-- +goose Up

-- What a lot's label says, and how it was filled. A lot from before is taken as
-- labelled with what was received and filled by pieces.
ALTER TABLE lots ADD COLUMN labelled INTEGER NOT NULL DEFAULT 0 CHECK (labelled >= 0);
ALTER TABLE lots ADD COLUMN filled TEXT NOT NULL DEFAULT 'pieces' CHECK (filled IN ('pieces', 'weight'));

DROP TRIGGER lots_keep_update;
UPDATE lots SET labelled = COALESCE((SELECT SUM(pieces) FROM entries WHERE lot = lots.id AND what = 'received'), 0);
-- +goose StatementBegin
CREATE TRIGGER lots_keep_update BEFORE UPDATE ON lots BEGIN SELECT RAISE(ABORT, 'ledger: only added to'); END;
-- +goose StatementEnd

-- Counted stones on the scale, from which the shop learns its masses.
CREATE TABLE weighings (
    id     INTEGER PRIMARY KEY,
    at     TEXT NOT NULL, -- RFC 3339, UTC
    size   TEXT NOT NULL,
    colour TEXT NOT NULL,
    stones INTEGER NOT NULL CHECK (stones > 0),
    grams  REAL NOT NULL CHECK (grams > 0)
) STRICT;
CREATE INDEX weighings_kind ON weighings (size, colour);
