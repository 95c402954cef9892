-- +goose Up

-- What was offered, with all that it was made with, so that it can be reckoned again.
-- Only the answer, the job that it became and the note, which goes where its customer
-- is erased, ever change.
CREATE TABLE quotes (
    id       INTEGER PRIMARY KEY,
    at       TEXT NOT NULL, -- RFC 3339, UTC
    day      TEXT NOT NULL CHECK (day GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),
    until    TEXT NOT NULL CHECK (until GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]' AND until >= day),
    customer INTEGER REFERENCES customers (id), -- NULL: nobody yet
    note     TEXT NOT NULL,
    answer   TEXT NOT NULL CHECK (answer IN ('given', 'taken', 'turned down')),
    job      INTEGER UNIQUE REFERENCES jobs (id) CHECK ((job IS NOT NULL) = (answer = 'taken')),
    total    TEXT NOT NULL CHECK (total GLOB '[0-9]*'), -- decimal, what the customer pays
    made     TEXT NOT NULL CHECK (json_valid(made)) -- order, designs and settings
) STRICT;
CREATE INDEX quotes_customer ON quotes (customer);
-- +goose StatementBegin
CREATE TRIGGER quotes_keep_delete BEFORE DELETE ON quotes BEGIN SELECT RAISE(ABORT, 'quotes: never removed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER quotes_keep_insert BEFORE INSERT ON quotes WHEN NEW.answer <> 'given' OR EXISTS (SELECT 1 FROM quotes WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'quotes: a quote begins as given, with a number of its own'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER quotes_keep_update BEFORE UPDATE ON quotes
WHEN NEW.id <> OLD.id OR NEW.at <> OLD.at OR NEW.day <> OLD.day OR NEW.until <> OLD.until OR NEW.customer IS NOT OLD.customer
    OR NEW.total <> OLD.total OR NEW.made <> OLD.made OR (NEW.note <> OLD.note AND NEW.note <> '')
    OR (OLD.answer <> 'given' AND (NEW.answer <> OLD.answer OR NEW.job IS NOT OLD.job))
BEGIN SELECT RAISE(ABORT, 'quotes: what was offered stays'); END;
-- +goose StatementEnd
