-- +goose Up

-- The sums of the ledger by lot and place, kept by the trigger below, so that a list
-- need not read every entry there ever was.
CREATE TABLE lot_places (
    lot    INTEGER NOT NULL REFERENCES lots (id),
    place  TEXT NOT NULL,
    pieces INTEGER NOT NULL, -- on hand
    gone   INTEGER NOT NULL, -- used or spoiled there
    first  INTEGER NOT NULL, -- entry that brought the lot there
    since  TEXT NOT NULL, -- when
    PRIMARY KEY (lot, place)
) STRICT, WITHOUT ROWID;

INSERT INTO lot_places (lot, place, pieces, gone, first, since)
    SELECT s.lot, s.place, s.pieces, s.gone, s.first, d.at FROM (
        SELECT lot, place, SUM(pieces) AS pieces, -SUM(iif(what IN ('used', 'spoiled'), pieces, 0)) AS gone, MIN(id) AS first
        FROM entries GROUP BY lot, place
    ) s JOIN entries e ON e.id = s.first JOIN deeds d ON d.id = e.deed;

-- +goose StatementBegin
CREATE TRIGGER entries_sum AFTER INSERT ON entries
BEGIN
    INSERT INTO lot_places (lot, place, pieces, gone, first, since)
        SELECT NEW.lot, NEW.place, 0, 0, NEW.id, at FROM deeds
        WHERE id = NEW.deed AND NOT EXISTS (SELECT 1 FROM lot_places WHERE lot = NEW.lot AND place = NEW.place);
    UPDATE lot_places SET pieces = pieces + NEW.pieces, gone = gone - iif(NEW.what IN ('used', 'spoiled'), NEW.pieces, 0)
        WHERE lot = NEW.lot AND place = NEW.place;
END;
-- +goose StatementEnd
