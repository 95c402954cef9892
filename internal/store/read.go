package store

import (
	"context"
	"database/sql"
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// asker is what a query can be put to: the book, or a transaction in it.
type asker interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

// each runs a query and hands its rows on, one by one.
func (b *Book) each(ctx context.Context, query string, args []any, row func(scan func(...any) error) error) error {
	return b.wrap(rowsOf(ctx, b.db, query, args, row))
}

// rowsOf is each for a query within a transaction.
func rowsOf(ctx context.Context, in asker, query string, args []any, row func(scan func(...any) error) error) error {
	rows, err := in.QueryContext(ctx, query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := row(rows.Scan); err != nil {
			return err
		}
	}
	return rows.Err()
}

// Stock implements shop.Book.
func (b *Book) Stock(ctx context.Context) ([]shop.Holding, error) {
	lots, err := b.lots(ctx)
	if err != nil {
		return nil, err
	}
	out := []shop.Holding{}
	number := map[shop.Kind]int{}
	for _, l := range lots {
		i, ok := number[l.Kind]
		if !ok {
			i = len(out)
			number[l.Kind] = i
			out = append(out, shop.Holding{Kind: l.Kind})
		}
		out[i].Lots = append(out[i].Lots, l)
	}
	slices.SortFunc(out, func(a, b shop.Holding) int { return shop.CompareKinds(a.Kind, b.Kind) })
	return out, nil
}

// lots gives every lot with what is where. A row is a lot at a place; one query,
// so that all is of one moment. The first place that a lot was at tells when it came.
func (b *Book) lots(ctx context.Context) ([]shop.Lot, error) {
	const query = `SELECT l.id, l.size, l.colour, l.supplier, l.cost, l.labelled, l.filled, p.since, p.place, p.pieces, p.gone
		FROM lot_places p CROSS JOIN lots l ON l.id = p.lot ORDER BY p.lot, p.first`
	var out []shop.Lot
	err := b.each(ctx, query, nil, func(scan func(...any) error) error {
		var l shop.Lot
		var p shop.Part
		var cost sql.NullString
		var at string
		var gone int
		if err := scan(&l.ID, &l.Kind.Size, &l.Kind.Colour, &l.Supplier, &cost, &l.Labelled, &l.Filled, &at, &p.Place, &p.Pieces, &gone); err != nil {
			return err
		}
		if n := len(out); n == 0 || out[n-1].ID != l.ID {
			var err error
			if l.At, err = time.Parse(time.RFC3339, at); err != nil {
				return damaged(b.path, err)
			}
			if cost.Valid {
				m, err := decimal.NewFromString(cost.String)
				if err != nil {
					return damaged(b.path, err)
				}
				l.Cost = &m
			}
			out = append(out, l)
		}
		last := &out[len(out)-1]
		last.Gone += gone
		p.Lot = l.ID
		if p.Pieces != 0 {
			last.Places = append(last.Places, p)
		}
		return nil
	})
	return out, err
}

// damaged is for a value that our own writing never leaves.
func damaged(path string, err error) error {
	return fault.New("book-damaged", path, "the book holds what cannot be (%v); restore a backup: brushfall book restore", err).
		OnPage("the book holds what cannot be (%v); end the workbench and restore a backup in a terminal", err)
}

// History implements shop.Book.
func (b *Book) History(ctx context.Context, most int) ([]shop.Deed, error) {
	const query = `SELECT d.id, d.at, d.what, d.size, d.colour, d.pieces, d.place, d.towards, d.note, e.lot, e.place, e.pieces
		FROM (SELECT * FROM deeds ORDER BY id DESC LIMIT ?) d LEFT JOIN entries e ON e.deed = d.id ORDER BY d.id DESC, e.id`
	out := []shop.Deed{}
	err := b.each(ctx, query, []any{most}, func(scan func(...any) error) error {
		var d shop.Deed
		var at string
		var lot, pieces sql.NullInt64
		var place sql.NullString
		if err := scan(&d.ID, &at, &d.What, &d.Kind.Size, &d.Kind.Colour, &d.Pieces, &d.Place, &d.Towards, &d.Note, &lot, &place, &pieces); err != nil {
			return err
		}
		if n := len(out); n == 0 || out[n-1].ID != d.ID {
			var err error
			if d.At, err = time.Parse(time.RFC3339, at); err != nil {
				return damaged(b.path, err)
			}
			out = append(out, d)
		}
		if last := &out[len(out)-1]; lot.Valid {
			last.Parts = append(last.Parts, shop.Part{Lot: lot.Int64, Place: place.String, Pieces: int(pieces.Int64)})
		}
		return nil
	})
	return out, err
}

// Mass implements shop.Book.
func (b *Book) Mass(ctx context.Context, kind shop.Kind) (float64, int, error) {
	var stones int
	var grams float64
	err := b.db.QueryRowContext(ctx, `SELECT COALESCE(SUM(stones), 0), COALESCE(SUM(grams), 0.0) FROM weighings WHERE size = ? AND colour = ?`, kind.Size, kind.Colour).Scan(&stones, &grams)
	if err != nil {
		return 0, 0, b.wrap(err)
	}
	if stones == 0 {
		return kind.Mass(), 0, nil
	}
	return grams / float64(stones), stones, nil
}

// Overrun implements shop.Book. What a lot held is what was in it after the first
// count that named it, if nothing was used or spoiled before; moving changes nothing.
func (b *Book) Overrun(ctx context.Context) (shop.Overrun, error) {
	const query = `SELECT l.labelled, (SELECT SUM(pieces) FROM entries WHERE lot = l.id AND deed <= c.deed)
		FROM lots l JOIN (SELECT lot, MIN(id) AS deed FROM deeds WHERE what = 'counted' AND lot IS NOT NULL GROUP BY lot) c ON c.lot = l.id
		WHERE l.filled = 'weight' AND l.labelled > 0
		AND NOT EXISTS (SELECT 1 FROM entries WHERE lot = l.id AND deed < c.deed AND what IN ('used', 'spoiled', 'counted'))
		ORDER BY l.id`
	var fills []shop.Fill
	err := b.each(ctx, query, nil, func(scan func(...any) error) error {
		var f shop.Fill
		if err := scan(&f.Labelled, &f.Found); err != nil {
			return err
		}
		fills = append(fills, f)
		return nil
	})
	return shop.Learn(fills), err
}
