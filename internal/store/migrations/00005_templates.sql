-- +goose Up

-- A set of templates, all plates of a design, as it was cut.
CREATE TABLE templates (
    id           INTEGER PRIMARY KEY,
    code         TEXT NOT NULL UNIQUE CHECK (length(code) = 9 AND substr(code, 5, 1) = '-'),
    mark         TEXT NOT NULL, -- what its frames or its ticket call it
    print        TEXT NOT NULL CHECK (length(print) = 64), -- SHA-256 of its holes and frames, in hex
    digest       TEXT NOT NULL CHECK (length(digest) = 64), -- SHA-256 of its layout.json, in hex
    design       TEXT NOT NULL CHECK (design <> ''),
    width        REAL NOT NULL CHECK (width > 0), -- of the design, mm
    height       REAL NOT NULL CHECK (height > 0),
    frame_width  REAL NOT NULL CHECK (frame_width > 0),
    frame_height REAL NOT NULL CHECK (frame_height > 0),
    plates       INTEGER NOT NULL CHECK (plates > 0),
    customer     INTEGER REFERENCES customers (id),
    note         TEXT NOT NULL,
    lasts        INTEGER NOT NULL CHECK (lasts > 0) -- transfers that it is expected to be good for
) STRICT;
CREATE INDEX templates_mark ON templates (mark);
CREATE INDEX templates_digest ON templates (digest);
CREATE INDEX templates_customer ON templates (customer);

CREATE TABLE template_kinds (
    template INTEGER NOT NULL REFERENCES templates (id),
    size     TEXT NOT NULL,
    colour   TEXT NOT NULL,
    pieces   INTEGER NOT NULL CHECK (pieces > 0), -- of one transfer
    take     INTEGER NOT NULL CHECK (take >= pieces), -- with spare ones
    PRIMARY KEY (template, size, colour)
) STRICT, WITHOUT ROWID;
CREATE INDEX template_kinds_kind ON template_kinds (colour, size);

CREATE TABLE template_pictures (
    template INTEGER PRIMARY KEY REFERENCES templates (id),
    picture  BLOB NOT NULL
) STRICT;

CREATE TABLE template_files (
    template INTEGER NOT NULL REFERENCES templates (id),
    name     TEXT NOT NULL CHECK (name <> ''),
    bytes    INTEGER NOT NULL CHECK (bytes >= 0), -- unpacked
    digest   TEXT NOT NULL CHECK (length(digest) = 64), -- SHA-256, unpacked, in hex
    packed   BLOB NOT NULL, -- gzip, RFC 1952
    PRIMARY KEY (template, name)
) STRICT;

-- What happened to a template, only added to. As that of the template itself a note
-- goes where the customer is erased, and nothing else ever changes.
CREATE TABLE template_events (
    id       INTEGER PRIMARY KEY,
    template INTEGER NOT NULL REFERENCES templates (id),
    at       TEXT NOT NULL, -- RFC 3339, UTC
    what     TEXT NOT NULL CHECK (what IN ('cut', 'brushed', 'moved', 'worn', 'good', 'gone')),
    times    INTEGER NOT NULL CHECK (times >= 0 AND (times > 0) = (what = 'brushed')), -- transfers
    place    TEXT NOT NULL CHECK (place <> '' OR what NOT IN ('cut', 'moved')), -- '': it stayed
    note     TEXT NOT NULL
) STRICT;
CREATE INDEX template_events_template ON template_events (template, id);

-- Where that leaves each; kept by the triggers below.
CREATE TABLE template_states (
    template  INTEGER PRIMARY KEY REFERENCES templates (id),
    made      TEXT NOT NULL,
    last      TEXT NOT NULL, -- when it was last brushed; '': never
    place     TEXT NOT NULL,
    condition TEXT NOT NULL CHECK (condition IN ('good', 'worn', 'gone')),
    uses      INTEGER NOT NULL
) STRICT;
CREATE INDEX template_states_made ON template_states (made);

-- +goose StatementBegin
CREATE TRIGGER templates_keep_update BEFORE UPDATE ON templates
WHEN NEW.note <> '' OR NEW.id <> OLD.id OR NEW.code <> OLD.code OR NEW.mark <> OLD.mark OR NEW.print <> OLD.print OR NEW.digest <> OLD.digest
    OR NEW.design <> OLD.design OR NEW.width <> OLD.width OR NEW.height <> OLD.height OR NEW.frame_width <> OLD.frame_width
    OR NEW.frame_height <> OLD.frame_height OR NEW.plates <> OLD.plates OR NEW.customer IS NOT OLD.customer OR NEW.lasts <> OLD.lasts
BEGIN SELECT RAISE(ABORT, 'templates: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER templates_keep_delete BEFORE DELETE ON templates BEGIN SELECT RAISE(ABORT, 'templates: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER templates_keep_insert BEFORE INSERT ON templates WHEN EXISTS (SELECT 1 FROM templates WHERE id = NEW.id OR code = NEW.code)
BEGIN SELECT RAISE(ABORT, 'templates: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER template_kinds_keep_update BEFORE UPDATE ON template_kinds BEGIN SELECT RAISE(ABORT, 'templates: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER template_kinds_keep_delete BEFORE DELETE ON template_kinds BEGIN SELECT RAISE(ABORT, 'templates: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER template_kinds_keep_insert BEFORE INSERT ON template_kinds WHEN EXISTS (SELECT 1 FROM template_events WHERE template = NEW.template)
BEGIN SELECT RAISE(ABORT, 'templates: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER template_files_keep_update BEFORE UPDATE ON template_files BEGIN SELECT RAISE(ABORT, 'templates: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER template_files_keep_delete BEFORE DELETE ON template_files BEGIN SELECT RAISE(ABORT, 'templates: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER template_files_keep_insert BEFORE INSERT ON template_files WHEN EXISTS (SELECT 1 FROM template_events WHERE template = NEW.template)
BEGIN SELECT RAISE(ABORT, 'templates: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER template_events_keep_update BEFORE UPDATE ON template_events
WHEN NEW.note <> '' OR NEW.id <> OLD.id OR NEW.template <> OLD.template OR NEW.at <> OLD.at OR NEW.what <> OLD.what
    OR NEW.times <> OLD.times OR NEW.place <> OLD.place
BEGIN SELECT RAISE(ABORT, 'templates: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER template_events_keep_delete BEFORE DELETE ON template_events BEGIN SELECT RAISE(ABORT, 'templates: only added to'); END;
-- +goose StatementEnd
-- A history begins with the cut, which comes once, and a template that is gone must
-- be found good before it can be worked with.
-- +goose StatementBegin
CREATE TRIGGER template_events_keep_insert BEFORE INSERT ON template_events
WHEN EXISTS (SELECT 1 FROM template_events WHERE id = NEW.id)
OR (NEW.what = 'cut') = EXISTS (SELECT 1 FROM template_events WHERE template = NEW.template)
OR (NEW.what <> 'good' AND (SELECT condition FROM template_states WHERE template = NEW.template) = 'gone')
BEGIN SELECT RAISE(ABORT, 'templates: no such event'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER template_events_state AFTER INSERT ON template_events
BEGIN
    INSERT INTO template_states (template, made, last, place, condition, uses)
        SELECT NEW.template, NEW.at, '', NEW.place, 'good', 0 WHERE NEW.what = 'cut';
    UPDATE template_states SET uses = uses + NEW.times, last = NEW.at WHERE template = NEW.template AND NEW.what = 'brushed';
    UPDATE template_states SET place = NEW.place WHERE template = NEW.template AND NEW.what <> 'cut' AND NEW.place <> '' AND NEW.place <> place;
    UPDATE template_states SET condition = NEW.what WHERE template = NEW.template AND NEW.what IN ('worn', 'good', 'gone');
END;
-- +goose StatementEnd

-- The words that templates are found by: letters that the tokenizer leaves as they
-- are, though people type them plainly, are written plainly.
CREATE VIEW template_texts (template, code, design, kinds, customer, place, note) AS
SELECT template, texts ->> 0, texts ->> 1, texts ->> 2, texts ->> 3, texts ->> 4, texts ->> 5 FROM (
    SELECT t.id AS template,
        replace(replace(replace(replace(replace(replace(replace(replace(replace(replace(replace(replace(
        replace(replace(replace(replace(replace(replace(replace(replace(replace(json_array(
            t.code || iif(t.mark = t.code, '', ' ' || t.mark), t.design,
            (SELECT group_concat(size || ' ' || colour, ', ' ORDER BY size, colour) FROM template_kinds WHERE template = t.id),
            COALESCE((SELECT name FROM customers WHERE id = t.customer), ''), s.place, t.note),
        'Ł', 'L'), 'ł', 'l'), 'Ø', 'O'), 'ø', 'o'), 'Đ', 'D'), 'đ', 'd'), 'Ð', 'D'), 'ð', 'd'), 'Ħ', 'H'), 'ħ', 'h'), 'Ŧ', 'T'), 'ŧ', 't'),
        'ẞ', 'SS'), 'ß', 'ss'), 'Æ', 'AE'), 'æ', 'ae'), 'Œ', 'OE'), 'œ', 'oe'), 'Þ', 'TH'), 'þ', 'th'), 'ı', 'i') AS texts
    FROM templates t JOIN template_states s ON s.template = t.id
);

CREATE VIRTUAL TABLE template_words USING fts5 (
    code, design, kinds, customer, place, note,
    tokenize = 'unicode61 remove_diacritics 2', prefix = '1 2 3'
);
-- What is deleted leaves the index too, such as the name of a customer who is erased.
INSERT INTO template_words (template_words, rank) VALUES ('secure-delete', 1);
-- The name counts most, then the code and the customer.
INSERT INTO template_words (template_words, rank) VALUES ('rank', 'bm25(5.0, 10.0, 2.0, 5.0, 1.0, 3.0)');

-- +goose StatementBegin
CREATE TRIGGER template_states_index AFTER INSERT ON template_states
BEGIN
    INSERT INTO template_words (rowid, code, design, kinds, customer, place, note)
        SELECT template, code, design, kinds, customer, place, note FROM template_texts WHERE template = NEW.template;
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER template_states_reindex AFTER UPDATE OF place ON template_states WHEN NEW.place <> OLD.place
BEGIN
    UPDATE template_words SET place = (SELECT place FROM template_texts WHERE template = NEW.template) WHERE rowid = NEW.template;
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER templates_reindex AFTER UPDATE OF note ON templates WHEN NEW.note <> OLD.note
BEGIN
    UPDATE template_words SET note = (SELECT note FROM template_texts WHERE template = NEW.id) WHERE rowid = NEW.id;
END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER customers_reindex AFTER UPDATE OF name ON customers WHEN NEW.name <> OLD.name
BEGIN
    UPDATE template_words SET customer = (SELECT customer FROM template_texts WHERE template = template_words.rowid)
        WHERE rowid IN (SELECT id FROM templates WHERE customer = NEW.id);
END;
-- +goose StatementEnd
