package store

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

var _ shop.Designs = (*Book)(nil)

// AddDesign implements shop.Designs.
func (b *Book) AddDesign(ctx context.Context, at time.Time, d shop.Design) (shop.Design, error) {
	d, err := d.Check()
	if err != nil {
		return d, err
	}
	err = b.within(ctx, func(tx *sql.Tx) error {
		d.ID, err = b.addDesign(ctx, tx, at, d)
		return err
	})
	if err != nil {
		return d, err
	}
	return b.Design(ctx, d.ID)
}

// addDesign puts a checked design into the book where it is not in it, and gives its number.
func (b *Book) addDesign(ctx context.Context, tx *sql.Tx, at time.Time, d shop.Design) (int64, error) {
	var id int64
	err := tx.QueryRowContext(ctx, `SELECT id FROM designs WHERE digest = ?`, d.Digest).Scan(&id)
	if err == nil {
		return id, insertPlates(ctx, tx, id, d.Template)
	}
	if !errors.Is(err, sql.ErrNoRows) {
		return 0, err
	}
	res, err := tx.ExecContext(ctx, `INSERT INTO designs (added, name, digest, width, height, plates, flock, tape_per, tape_of, film_per, film_of) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		stamp(at), d.Name, d.Digest, d.Width, d.Height, d.Plates, d.Flock, d.Tape.PerSheet, d.Tape.Sheets, d.Film.PerSheet, d.Film.Sheets)
	if err != nil {
		return 0, err
	}
	if id, err = res.LastInsertId(); err != nil {
		return 0, err
	}
	for _, s := range d.Stones {
		if _, err := b.find(ctx, tx, s.Kind.Size, s.Kind.Colour); err != nil {
			return 0, err
		}
		if _, err := tx.ExecContext(ctx, `INSERT INTO design_stones (design, size, colour, pieces, take) VALUES (?, ?, ?, ?, ?)`, id, s.Kind.Size, s.Kind.Colour, s.Pieces, s.Take); err != nil {
			return 0, err
		}
	}
	return id, insertPlates(ctx, tx, id, d.Template)
}

// Design implements shop.Designs.
func (b *Book) Design(ctx context.Context, id int64) (shop.Design, error) {
	d, err := b.design(ctx, b.db, id)
	return d, b.wrap(err)
}

func (b *Book) design(ctx context.Context, in asker, id int64) (shop.Design, error) {
	all, err := b.designs(ctx, in, `WHERE id = ?`, id)
	if err == nil && len(all) == 0 {
		err = fault.New("design-unknown", "", "there is no design %d in the book; brushfall job designs has their numbers", id).
			OnPage("there is no design %d in the book; choose one of the bench", id)
	}
	if err != nil {
		return shop.Design{}, err
	}
	d := all[0]
	err = rowsOf(ctx, in, `SELECT size, colour, pieces, take FROM design_stones WHERE design = ?`, []any{id}, func(scan func(...any) error) error {
		var s shop.Stones
		if err := scan(&s.Kind.Size, &s.Kind.Colour, &s.Pieces, &s.Take); err != nil {
			return err
		}
		d.Stones = append(d.Stones, s)
		return nil
	})
	if err != nil {
		return d, err
	}
	return d.Check()
}

// Designs implements shop.Designs.
func (b *Book) Designs(ctx context.Context) ([]shop.Design, error) {
	out, err := b.designs(ctx, b.db, ``)
	return out, b.wrap(err)
}

func (b *Book) designs(ctx context.Context, in asker, where string, args ...any) ([]shop.Design, error) {
	out := []shop.Design{}
	err := rowsOf(ctx, in, `SELECT id, added, name, digest, width, height, plates, flock, tape_per, tape_of, film_per, film_of FROM designs `+where+` ORDER BY id`, args, func(scan func(...any) error) error {
		var d shop.Design
		var added string
		if err := scan(&d.ID, &added, &d.Name, &d.Digest, &d.Width, &d.Height, &d.Plates, &d.Flock, &d.Tape.PerSheet, &d.Tape.Sheets, &d.Film.PerSheet, &d.Film.Sheets); err != nil {
			return err
		}
		var err error
		if d.Added, err = time.Parse(time.RFC3339, added); err != nil {
			return damaged(b.path, err)
		}
		out = append(out, d)
		return nil
	})
	return out, err
}
