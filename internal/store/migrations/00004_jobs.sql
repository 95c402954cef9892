-- +goose Up

-- Who orders. The number of a customer is never given to another; where one is
-- erased, name and contact go and the number stays, for jobs and papers.
CREATE TABLE customers (
    id      INTEGER PRIMARY KEY,
    added   TEXT NOT NULL, -- RFC 3339, UTC
    erased  TEXT,          -- when; NULL: not
    name    TEXT NOT NULL CHECK ((name = '') = (erased IS NOT NULL)),
    email   TEXT NOT NULL CHECK (erased IS NULL OR email = ''),
    phone   TEXT NOT NULL CHECK (erased IS NULL OR phone = ''),
    address TEXT NOT NULL CHECK (erased IS NULL OR address = ''),
    note    TEXT NOT NULL CHECK (erased IS NULL OR note = '')
) STRICT;
-- +goose StatementBegin
CREATE TRIGGER customers_keep_delete BEFORE DELETE ON customers BEGIN SELECT RAISE(ABORT, 'customers: erased, never removed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER customers_keep_insert BEFORE INSERT ON customers WHEN EXISTS (SELECT 1 FROM customers WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'customers: the number is taken'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER customers_keep_update BEFORE UPDATE ON customers WHEN OLD.erased IS NOT NULL OR NEW.id <> OLD.id OR NEW.added <> OLD.added
BEGIN SELECT RAISE(ABORT, 'customers: an erased one stays as it is'); END;
-- +goose StatementEnd

-- What a made design takes, as it was when it came into the book. Of tape and film:
-- how many pieces a sheet gives, or, with 0, how many sheets a piece is made of.
CREATE TABLE designs (
    id         INTEGER PRIMARY KEY,
    added      TEXT NOT NULL,
    name       TEXT NOT NULL CHECK (name <> ''),
    digest     TEXT NOT NULL UNIQUE CHECK (digest <> ''), -- SHA-256 of its layout.json or counts.csv, in hex
    width      REAL NOT NULL CHECK (width >= 0), -- mm; 0: not known
    height     REAL NOT NULL CHECK (height >= 0),
    plates     INTEGER NOT NULL CHECK (plates >= 0),
    flock      INTEGER NOT NULL CHECK (flock >= 0), -- sheets that its templates are cut from, once
    tape_per   INTEGER NOT NULL CHECK (tape_per >= 0),
    tape_of    INTEGER NOT NULL CHECK (tape_of >= 0),
    film_per   INTEGER NOT NULL CHECK (film_per >= 0),
    film_of    INTEGER NOT NULL CHECK (film_of >= 0)
) STRICT;
CREATE TABLE design_stones (
    design INTEGER NOT NULL REFERENCES designs (id),
    size   TEXT NOT NULL,
    colour TEXT NOT NULL,
    pieces INTEGER NOT NULL CHECK (pieces > 0),
    take   INTEGER NOT NULL CHECK (take >= pieces), -- with spare ones
    PRIMARY KEY (design, size, colour)
) STRICT, WITHOUT ROWID;
-- +goose StatementBegin
CREATE TRIGGER designs_keep_delete BEFORE DELETE ON designs BEGIN SELECT RAISE(ABORT, 'designs: never removed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER designs_keep_insert BEFORE INSERT ON designs WHEN EXISTS (SELECT 1 FROM designs WHERE id = NEW.id OR digest = NEW.digest)
BEGIN SELECT RAISE(ABORT, 'designs: it is there already'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER designs_keep_update BEFORE UPDATE OF id, added, digest, width, height, plates, flock, tape_per, tape_of, film_per, film_of ON designs
BEGIN SELECT RAISE(ABORT, 'designs: only the name changes'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER design_stones_keep_update BEFORE UPDATE ON design_stones BEGIN SELECT RAISE(ABORT, 'designs: only the name changes'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER design_stones_keep_delete BEFORE DELETE ON design_stones BEGIN SELECT RAISE(ABORT, 'designs: never removed'); END;
-- +goose StatementEnd

CREATE TABLE jobs (
    id       INTEGER PRIMARY KEY,
    customer INTEGER REFERENCES customers (id), -- NULL: for the shop itself
    state    TEXT NOT NULL CHECK (state IN ('asked', 'promised', 'made', 'handed over', 'dropped')),
    due      TEXT NOT NULL CHECK (due = '' OR due GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'), -- a day; '': none
    note     TEXT NOT NULL
) STRICT;
CREATE INDEX jobs_customer ON jobs (customer);
CREATE INDEX jobs_state ON jobs (state, due);
-- +goose StatementBegin
CREATE TRIGGER jobs_keep_delete BEFORE DELETE ON jobs BEGIN SELECT RAISE(ABORT, 'jobs: dropped, never removed'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER jobs_keep_insert BEFORE INSERT ON jobs WHEN NEW.state <> 'asked' OR EXISTS (SELECT 1 FROM jobs WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'jobs: a job begins as asked, with a number of its own'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER jobs_moves BEFORE UPDATE OF id, state ON jobs
WHEN NEW.id <> OLD.id OR (NEW.state <> OLD.state AND OLD.state || '>' || NEW.state NOT IN
    ('asked>promised', 'asked>dropped', 'promised>made', 'promised>dropped', 'made>handed over', 'made>dropped'))
BEGIN SELECT RAISE(ABORT, 'jobs: no such move'); END;
-- +goose StatementEnd

-- So many transfers of a design, and where they go. made are ready; drawn are those
-- of them that came from the shelf, of the share that the promise gave the shelf.
CREATE TABLE job_lines (
    job         INTEGER NOT NULL REFERENCES jobs (id),
    line        INTEGER NOT NULL CHECK (line > 0),
    design      INTEGER NOT NULL REFERENCES designs (id),
    quantity    INTEGER NOT NULL CHECK (quantity > 0),
    destination TEXT NOT NULL CHECK (destination IN ('garment', 'bag', 'bow', 'disc', 'decal', 'shelf')),
    blank       TEXT NOT NULL, -- what they are pressed on, of the shop's stock; '': the customer's own
    template    TEXT NOT NULL CHECK (template IN ('as needed', 'anew', 'there')),
    shelf       INTEGER NOT NULL DEFAULT 0 CHECK (shelf >= 0 AND shelf <= quantity),
    made        INTEGER NOT NULL DEFAULT 0 CHECK (made >= 0 AND made <= quantity),
    drawn       INTEGER NOT NULL DEFAULT 0 CHECK (drawn >= 0 AND drawn <= shelf AND drawn <= made),
    PRIMARY KEY (job, line)
) STRICT, WITHOUT ROWID;
CREATE INDEX job_lines_design ON job_lines (design);

-- What was done with a job, only added to. A step's note goes where its customer is
-- erased, and nothing else of it ever changes.
CREATE TABLE job_steps (
    id        INTEGER PRIMARY KEY,
    job       INTEGER NOT NULL REFERENCES jobs (id),
    at        TEXT NOT NULL,
    what      TEXT NOT NULL CHECK (what IN ('asked', 'changed', 'promised', 'made', 'wasted', 'handed over', 'dropped')),
    state     TEXT NOT NULL, -- the job's, after it
    line      INTEGER NOT NULL CHECK ((line > 0) = (what IN ('made', 'wasted'))), -- 0: the whole job
    transfers INTEGER NOT NULL CHECK (transfers >= 0), -- made or wasted
    drawn     INTEGER NOT NULL CHECK (drawn >= 0 AND drawn <= transfers), -- of those made, from the shelf
    cost      TEXT CHECK (cost GLOB '[0-9]*'), -- of what was used, decimal; NULL: not known
    note      TEXT NOT NULL
) STRICT;
CREATE INDEX job_steps_job ON job_steps (job, id);
-- +goose StatementBegin
CREATE TRIGGER job_steps_keep_update BEFORE UPDATE ON job_steps
WHEN NEW.note <> '' OR NEW.id <> OLD.id OR NEW.job <> OLD.job OR NEW.at <> OLD.at OR NEW.what <> OLD.what OR NEW.state <> OLD.state
    OR NEW.line <> OLD.line OR NEW.transfers <> OLD.transfers OR NEW.drawn <> OLD.drawn OR NEW.cost IS NOT OLD.cost
BEGIN SELECT RAISE(ABORT, 'job steps: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER job_steps_keep_delete BEFORE DELETE ON job_steps BEGIN SELECT RAISE(ABORT, 'job steps: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER job_steps_keep_insert BEFORE INSERT ON job_steps WHEN EXISTS (SELECT 1 FROM job_steps WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'job steps: only added to'); END;
-- +goose StatementEnd

-- The deeds of the ledger that belong to a step.
CREATE TABLE step_deeds (
    deed INTEGER PRIMARY KEY REFERENCES deeds (id),
    step INTEGER NOT NULL REFERENCES job_steps (id)
) STRICT;
CREATE INDEX step_deeds_step ON step_deeds (step);
-- +goose StatementBegin
CREATE TRIGGER step_deeds_keep_update BEFORE UPDATE ON step_deeds BEGIN SELECT RAISE(ABORT, 'job steps: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER step_deeds_keep_delete BEFORE DELETE ON step_deeds BEGIN SELECT RAISE(ABORT, 'job steps: only added to'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER step_deeds_keep_insert BEFORE INSERT ON step_deeds WHEN EXISTS (SELECT 1 FROM step_deeds WHERE deed = NEW.deed)
BEGIN SELECT RAISE(ABORT, 'job steps: only added to'); END;
-- +goose StatementEnd

-- What the promised jobs still take of the stock, by line and kind.
CREATE TABLE reservations (
    job    INTEGER NOT NULL,
    line   INTEGER NOT NULL,
    size   TEXT NOT NULL,
    colour TEXT NOT NULL,
    pieces INTEGER NOT NULL CHECK (pieces > 0),
    PRIMARY KEY (job, line, size, colour),
    FOREIGN KEY (job, line) REFERENCES job_lines (job, line)
) STRICT, WITHOUT ROWID;
CREATE INDEX reservations_kind ON reservations (size, colour, pieces);
