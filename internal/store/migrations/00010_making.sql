-- +goose Up

-- The set of templates of a design, as its layout has it: what the book needs to enter
-- one when transfers of the design are made.
CREATE TABLE design_plates (
    design       INTEGER PRIMARY KEY REFERENCES designs (id),
    mark         TEXT NOT NULL, -- what its frames or its ticket call it
    print        TEXT NOT NULL CHECK (length(print) = 64), -- SHA-256 of its holes and frames, in hex
    frame_width  REAL NOT NULL CHECK (frame_width > 0), -- mm
    frame_height REAL NOT NULL CHECK (frame_height > 0),
    picture      BLOB, -- NULL: none
    bytes        INTEGER NOT NULL CHECK (bytes >= 0), -- of its layout.json, whose SHA-256 is the design's
    packed       BLOB NOT NULL -- gzip, RFC 1952
) STRICT;
-- +goose StatementBegin
CREATE TRIGGER design_plates_keep_update BEFORE UPDATE ON design_plates BEGIN SELECT RAISE(ABORT, 'designs: only the name changes'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER design_plates_keep_delete BEFORE DELETE ON design_plates BEGIN SELECT RAISE(ABORT, 'designs: never removed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER design_plates_keep_insert BEFORE INSERT ON design_plates WHEN EXISTS (SELECT 1 FROM design_plates WHERE design = NEW.design)
BEGIN SELECT RAISE(ABORT, 'designs: it is there already'); END;
-- +goose StatementEnd

-- What the transfers of a making were brushed with, by the event that says so.
CREATE TABLE step_templates (
    step  INTEGER PRIMARY KEY REFERENCES job_steps (id),
    event INTEGER NOT NULL UNIQUE REFERENCES template_events (id)
) STRICT;
-- +goose StatementBegin
CREATE TRIGGER step_templates_keep_update BEFORE UPDATE ON step_templates BEGIN SELECT RAISE(ABORT, 'job steps: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER step_templates_keep_delete BEFORE DELETE ON step_templates BEGIN SELECT RAISE(ABORT, 'job steps: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER step_templates_keep_insert BEFORE INSERT ON step_templates WHEN EXISTS (SELECT 1 FROM step_templates WHERE step = NEW.step OR event = NEW.event)
BEGIN SELECT RAISE(ABORT, 'job steps: only added to'); END;
-- +goose StatementEnd

-- Lines that were handed over before the rest of their job. Only the note, which goes
-- where the customer is erased, ever changes.
CREATE TABLE handed_lines (
    job   INTEGER NOT NULL,
    line  INTEGER NOT NULL,
    at    TEXT NOT NULL, -- RFC 3339, UTC
    after INTEGER NOT NULL REFERENCES job_steps (id), -- the job's last step by then
    note  TEXT NOT NULL,
    PRIMARY KEY (job, line),
    FOREIGN KEY (job, line) REFERENCES job_lines (job, line)
) STRICT, WITHOUT ROWID;
-- +goose StatementBegin
CREATE TRIGGER handed_lines_keep_update BEFORE UPDATE ON handed_lines
WHEN NEW.note <> '' OR NEW.job <> OLD.job OR NEW.line <> OLD.line OR NEW.at <> OLD.at OR NEW.after <> OLD.after
BEGIN SELECT RAISE(ABORT, 'job steps: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER handed_lines_keep_delete BEFORE DELETE ON handed_lines BEGIN SELECT RAISE(ABORT, 'job steps: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER handed_lines_keep_insert BEFORE INSERT ON handed_lines
WHEN EXISTS (SELECT 1 FROM handed_lines WHERE job = NEW.job AND line = NEW.line)
OR (SELECT state FROM jobs WHERE id = NEW.job) NOT IN ('promised', 'made')
OR EXISTS (SELECT 1 FROM job_lines WHERE job = NEW.job AND line = NEW.line AND made < quantity)
BEGIN SELECT RAISE(ABORT, 'job steps: only a line that is made is handed over, once'); END;
-- +goose StatementEnd
