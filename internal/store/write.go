package store

import (
	"context"
	"database/sql"
	"time"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// moment is a time as the book keeps it: UTC, to a thousandth of a second.
func moment(at time.Time) time.Time { return at.UTC().Truncate(time.Millisecond) }

// stamp writes a time so that the order of texts is that of times.
func stamp(at time.Time) string { return at.UTC().Format("2006-01-02T15:04:05.000Z") }

// Receive implements shop.Book.
func (b *Book) Receive(ctx context.Context, at time.Time, receipts []shop.Receipt) ([]shop.Deed, error) {
	var deeds []shop.Deed
	err := b.within(ctx, func(tx *sql.Tx) error {
		for _, r := range receipts {
			r, err := r.Check()
			if err != nil {
				return err
			}
			if _, err := b.find(ctx, tx, r.Kind.Size, r.Kind.Colour); err != nil {
				return err
			}
			d, err := receive(ctx, tx, at, r, shop.Received)
			if err != nil {
				return err
			}
			deeds = append(deeds, d)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return deeds, nil
}

// receive adds a lot, the deed and its entry. A count that finds stones of no lot
// does the same with its own name for it.
func receive(ctx context.Context, tx *sql.Tx, at time.Time, r shop.Receipt, what shop.What) (shop.Deed, error) {
	if r.Supplier != "" {
		if _, err := tx.ExecContext(ctx, `INSERT INTO suppliers (name, delivery) VALUES (?, '0') ON CONFLICT DO NOTHING`, r.Supplier); err != nil {
			return shop.Deed{}, err
		}
	}
	var cost any
	if r.Cost != nil {
		cost = r.Cost.String()
	}
	res, err := tx.ExecContext(ctx, `INSERT INTO lots (size, colour, supplier, cost, labelled, filled) VALUES (?, ?, ?, ?, ?, ?)`,
		r.Kind.Size, r.Kind.Colour, r.Supplier, cost, r.Labelled, string(r.Filled))
	if err != nil {
		return shop.Deed{}, err
	}
	lot, err := res.LastInsertId()
	if err != nil {
		return shop.Deed{}, err
	}
	d := shop.Deed{At: moment(at), What: what, Kind: r.Kind, Pieces: r.Pieces, Place: r.Place, Note: r.Note, Parts: []shop.Part{{Lot: lot, Place: r.Place, Pieces: r.Pieces}}}
	return add(ctx, tx, d, 0)
}

// add writes a deed and its entries. lot is the one that was named, or 0.
func add(ctx context.Context, tx *sql.Tx, d shop.Deed, lot int64) (shop.Deed, error) {
	res, err := tx.ExecContext(ctx, `INSERT INTO deeds (at, what, size, colour, pieces, place, towards, lot, note) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		stamp(d.At), string(d.What), d.Kind.Size, d.Kind.Colour, d.Pieces, d.Place, d.Towards, sql.NullInt64{Int64: lot, Valid: lot != 0}, d.Note)
	if err != nil {
		return d, err
	}
	if d.ID, err = res.LastInsertId(); err != nil {
		return d, err
	}
	for _, p := range d.Parts {
		if _, err := tx.ExecContext(ctx, `INSERT INTO entries (deed, what, lot, place, pieces) VALUES (?, ?, ?, ?, ?)`, d.ID, string(d.What), p.Lot, p.Place, p.Pieces); err != nil {
			return d, err
		}
	}
	return d, nil
}

// Change implements shop.Book.
func (b *Book) Change(ctx context.Context, at time.Time, c shop.Change) (shop.Deed, error) {
	c, err := c.Check()
	if err != nil {
		return shop.Deed{}, err
	}
	var d shop.Deed
	err = b.within(ctx, func(tx *sql.Tx) error {
		shelf, err := shelf(ctx, tx, c)
		if err != nil {
			return err
		}
		if c.What == shop.Counted && c.Pieces > 0 && len(shelf) == 0 {
			if _, err := b.find(ctx, tx, c.Kind.Size, c.Kind.Colour); err != nil {
				return err
			}
			if d, err = receive(ctx, tx, at, c.Found(), shop.Counted); err != nil {
				return err
			}
			return nil
		}
		parts, err := c.Apply(shelf)
		if err != nil {
			return err
		}
		d, err = add(ctx, tx, shop.Deed{At: moment(at), What: c.What, Kind: c.Kind, Pieces: c.Pieces, Place: c.Place, Towards: c.Towards, Note: c.Note, Parts: parts}, c.Lot)
		return err
	})
	if err != nil {
		return shop.Deed{}, err
	}
	return d, nil
}

// shelf gives the lots of the change's kind that are or were at its place, oldest
// first, or the one that it names. Fault "count-lot" for a lot that is not there.
func shelf(ctx context.Context, tx *sql.Tx, c shop.Change) ([]shop.Part, error) {
	if c.Lot != 0 {
		var found int
		err := tx.QueryRowContext(ctx, `SELECT COUNT(*) FROM lots WHERE id = ? AND size = ? AND colour = ?`, c.Lot, c.Kind.Size, c.Kind.Colour).Scan(&found)
		if err != nil {
			return nil, err
		}
		if found == 0 {
			return nil, fault.New("count-lot", c.Kind.String(), "there is no lot %d of these; brushfall stock list --lots has their numbers", c.Lot).
				OnPage("there is no lot %d of these; leave the lot out, or see Stock", c.Lot)
		}
	}
	rows, err := tx.QueryContext(ctx, `SELECT p.lot, p.pieces FROM lots l JOIN lot_places p ON p.lot = l.id
		WHERE l.size = ? AND l.colour = ? AND p.place = ? AND (? = 0 OR l.id = ?) ORDER BY p.lot`,
		c.Kind.Size, c.Kind.Colour, c.Place, c.Lot, c.Lot)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var out []shop.Part
	for rows.Next() {
		p := shop.Part{Place: c.Place}
		if err := rows.Scan(&p.Lot, &p.Pieces); err != nil {
			return nil, err
		}
		out = append(out, p)
	}
	if len(out) == 0 && c.Lot != 0 { // it was never here, and may be found here
		out = []shop.Part{{Lot: c.Lot, Place: c.Place}}
	}
	return out, rows.Err()
}

// Weighed implements shop.Book.
func (b *Book) Weighed(ctx context.Context, at time.Time, kind shop.Kind, samples []shop.Sample) error {
	return b.within(ctx, func(tx *sql.Tx) error {
		for _, s := range samples {
			if _, err := tx.ExecContext(ctx, `INSERT INTO weighings (at, size, colour, stones, grams) VALUES (?, ?, ?, ?, ?)`, stamp(at), kind.Size, kind.Colour, s.Stones, s.Grams); err != nil {
				return err
			}
		}
		return nil
	})
}
