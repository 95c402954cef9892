package store

import (
	"context"
	"fmt"
	"slices"

	"brushfall/internal/fault"
)

// Report is what a check of a book found. Problems is empty for a sound one.
type Report struct {
	Schema    int64
	Deeds     int
	Entries   int
	Lots      int
	Pieces    int64 // stones on hand
	Templates int
	Problems  []string
}

// law is a query that gives a row, in words, for each place where the ledger is not
// what it must be. The file's triggers hold the same; a law tells of a file that
// was changed without them.
type law struct {
	since       int64 // the schema that has what it is about
	name, query string
}

func laws() []law {
	return []law{
		{1, "no lot has less than nothing anywhere", `SELECT 'lot ' || lot || ' at ' || place || ' has ' || SUM(pieces) FROM entries GROUP BY lot, place HAVING SUM(pieces) < 0`},
		{1, "moving adds and takes nothing", `SELECT 'deed ' || deed || ' changes the stock by ' || SUM(pieces) FROM entries WHERE what = 'moved' GROUP BY deed HAVING SUM(pieces) <> 0`},
		{1, "an entry fits its deed and its lot", `SELECT 'entry ' || e.id FROM entries e LEFT JOIN deeds d ON d.id = e.deed LEFT JOIN lots l ON l.id = e.lot
			WHERE d.id IS NULL OR l.id IS NULL OR d.what <> e.what OR d.size <> l.size OR d.colour <> l.colour OR (d.lot IS NOT NULL AND d.lot <> l.id)`},
		{1, "a deed does what it says", `SELECT 'deed ' || d.id || ' says ' || d.pieces || ' ' || d.what || ' and its entries have ' || COALESCE(SUM(e.pieces), 0)
			FROM deeds d LEFT JOIN entries e ON e.deed = d.id AND (d.what <> 'moved' OR e.pieces > 0) WHERE d.what <> 'counted'
			GROUP BY d.id HAVING COALESCE(SUM(e.pieces), 0) <> CASE WHEN d.what IN ('used', 'spoiled') THEN -d.pieces ELSE d.pieces END`},
		{1, "a count leaves what it found", `SELECT 'deed ' || d.id || ' found ' || d.pieces || ' and left ' || had FROM (
				SELECT d.id, d.pieces, (SELECT COALESCE(SUM(e.pieces), 0) FROM lots l JOIN entries e ON e.lot = l.id
					WHERE l.size = d.size AND l.colour = d.colour AND e.place = d.place AND e.deed <= d.id AND (d.lot IS NULL OR l.id = d.lot)) AS had
				FROM deeds d WHERE d.what = 'counted') d WHERE had <> d.pieces`},
		{1, "every lot came in", `SELECT 'lot ' || l.id FROM lots l WHERE NOT EXISTS (SELECT 1 FROM entries e WHERE e.lot = l.id)`},
		{1, "nothing is missing between deeds", `SELECT 'of ' || MAX(id) || ' deeds ' || COUNT(*) || ' are there' FROM deeds HAVING COALESCE(MAX(id), 0) <> COUNT(*)`},
		{1, "the guards of the ledger are there", `SELECT name || ' is missing' FROM (
				SELECT t || '_keep_' || v AS name FROM (SELECT 'lots' AS t UNION SELECT 'deeds' UNION SELECT 'entries'), (SELECT 'insert' AS v UNION SELECT 'update' UNION SELECT 'delete')
				UNION SELECT 'entries_fit' UNION SELECT 'entries_below')
			WHERE name NOT IN (SELECT name FROM sqlite_schema WHERE type = 'trigger')`},
		{9, "the sums of the ledger are right", `SELECT 'lot ' || lot || ' at ' || place || ' has ' || pieces || ', gone ' || gone FROM (
			SELECT *, SUM(side) OVER (PARTITION BY lot, place, pieces, gone, first) AS pair FROM (
				SELECT lot, place, SUM(pieces) AS pieces, -SUM(iif(what IN ('used', 'spoiled'), pieces, 0)) AS gone, MIN(id) AS first, 1 AS side FROM entries GROUP BY lot, place
				UNION ALL SELECT lot, place, pieces, gone, first, 2 FROM lot_places))
			WHERE pair <> 3`},
		{9, "the sums of the ledger are kept", `SELECT 'entries_sum is missing' WHERE NOT EXISTS (SELECT 1 FROM sqlite_schema WHERE type = 'trigger' AND name = 'entries_sum')`},
	}
}

// mostProblems bounds what is told of one law.
const mostProblems = 20

// Check reads the whole book: SQLite's own check of the file, its references, and
// the laws of the ledger. The error is for a book that cannot be read at all.
func (b *Book) Check(ctx context.Context) (Report, error) {
	var r Report
	var err error
	if r.Schema, err = b.version(ctx); err != nil {
		return r, b.wrap(err)
	}
	if err := b.problems(ctx, &r, "the file is sound", `SELECT integrity_check FROM pragma_integrity_check WHERE integrity_check <> 'ok'`); err != nil {
		return r, err
	}
	if len(r.Problems) > 0 {
		return r, nil // what stands in a broken file says nothing
	}
	if err := b.problems(ctx, &r, "every reference leads", `SELECT "table" || COALESCE(' row ' || rowid, '') || ' to ' || parent FROM pragma_foreign_key_check`); err != nil {
		return r, err
	}
	for _, l := range slices.Concat(laws(), jobLaws(), templateLaws(), priceLaws()) {
		if l.since > r.Schema {
			continue
		}
		if err := b.problems(ctx, &r, l.name, l.query); err != nil {
			return r, err
		}
	}
	if r.Schema >= schemaOfTemplates {
		if err := b.checkTemplates(ctx, &r); err != nil {
			return r, err
		}
	}
	if r.Schema >= withGoods && len(r.Problems) == 0 { // what is not sound is not worked out from
		if err := b.checkReservations(ctx, &r); err != nil {
			return r, err
		}
	}
	err = b.db.QueryRowContext(ctx, `SELECT (SELECT COUNT(*) FROM deeds), (SELECT COUNT(*) FROM lots), COUNT(*), COALESCE(SUM(pieces) FILTER (WHERE lot IN (SELECT id FROM lots WHERE size GLOB 'SS[0-9]*')), 0) FROM entries`).Scan(&r.Deeds, &r.Lots, &r.Entries, &r.Pieces)
	return r, b.wrap(err)
}

func (b *Book) problems(ctx context.Context, r *Report, name, query string) error {
	err := b.each(ctx, query+fmt.Sprintf(" LIMIT %d", mostProblems), nil, func(scan func(...any) error) error {
		var text string
		if err := scan(&text); err != nil {
			return err
		}
		r.Problems = append(r.Problems, name+": "+text)
		return nil
	})
	if fault.CodeOf(err) == "book-damaged" { // SQLite gave up on the file, which is the answer
		r.Problems = append(r.Problems, err.Error())
		return nil
	}
	return err
}

// sound is Check as one fault, "book-damaged", for a book that is not.
func (b *Book) sound(ctx context.Context) (Report, error) {
	r, err := b.Check(ctx)
	if err == nil && len(r.Problems) > 0 {
		err = fault.New("book-damaged", b.path, "the book is not sound: %s; brushfall book check tells all", r.Problems[0]).
			OnPage("the book is not sound: %s; check the book (Stock) for all of it", r.Problems[0])
	}
	return r, err
}

// Look opens a book to read alone, changing nothing, not even its schema. Faults
// "book-missing", "book-not", "book-newer".
func Look(ctx context.Context, path string) (*Book, error) {
	if err := there(path); err != nil {
		return nil, err
	}
	b, err := connect(path, "rw", fmt.Sprintf("busy_timeout(%d)", patience), "query_only(1)")
	if err != nil {
		return nil, err
	}
	err = b.recognise(ctx)
	if err == nil {
		var at int64
		at, err = b.version(ctx)
		switch {
		case err != nil:
		case at == 0:
			err = fault.New("book-not", path, "there is no book in this file; name another file")
		case at > latest:
			err = fault.New("book-newer", path, "the book was written by a later version of the program (schema %d, this one knows %d); use that", at, latest)
		}
	}
	if err != nil {
		_ = b.Close()
		return nil, b.wrap(err)
	}
	return b, nil
}
