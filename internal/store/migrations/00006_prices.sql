-- +goose Up

-- What prices are made of: every change of a setting, and every timing of a work. Only
-- added to; what holds is the newest change, or the mean of the timings after it.
CREATE TABLE rates (
    id    INTEGER PRIMARY KEY,
    at    TEXT NOT NULL, -- RFC 3339, UTC
    name  TEXT NOT NULL CHECK (name <> ''),
    value TEXT NOT NULL, -- '': back to the default; of a timing its seconds
    times INTEGER NOT NULL CHECK (times >= 0 AND (times = 0 OR value <> '')) -- 0: a change
) STRICT;

-- The price list, of which nothing is lost: what holds is the newest row of each.
CREATE TABLE price_list (
    id       INTEGER PRIMARY KEY,
    at       TEXT NOT NULL,
    design   TEXT NOT NULL CHECK (design <> ''),
    what_for TEXT NOT NULL CHECK (what_for <> ''),
    at_least INTEGER NOT NULL CHECK (at_least > 0), -- from so many pieces on
    price    TEXT CHECK (price GLOB '[0-9]*') -- decimal, of one piece; NULL: taken off
) STRICT;
CREATE INDEX price_list_row ON price_list (design, what_for, at_least, id);

-- +goose StatementBegin
CREATE TRIGGER rates_keep_update BEFORE UPDATE ON rates BEGIN SELECT RAISE(ABORT, 'prices: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER rates_keep_delete BEFORE DELETE ON rates BEGIN SELECT RAISE(ABORT, 'prices: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER rates_keep_insert BEFORE INSERT ON rates WHEN EXISTS (SELECT 1 FROM rates WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'prices: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER price_list_keep_update BEFORE UPDATE ON price_list BEGIN SELECT RAISE(ABORT, 'prices: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER price_list_keep_delete BEFORE DELETE ON price_list BEGIN SELECT RAISE(ABORT, 'prices: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER price_list_keep_insert BEFORE INSERT ON price_list WHEN EXISTS (SELECT 1 FROM price_list WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'prices: only added to'); END;
-- +goose StatementEnd
