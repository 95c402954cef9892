package store

import (
	"context"
	"database/sql"
	"slices"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// SetSupplier implements shop.Book.
func (b *Book) SetSupplier(ctx context.Context, s shop.Supplier) error {
	s, err := s.Check()
	if err != nil {
		return err
	}
	return b.within(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO suppliers (name, delivery) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET delivery = excluded.delivery`, s.Name, s.Delivery.String())
		return err
	})
}

// Suppliers implements shop.Book.
func (b *Book) Suppliers(ctx context.Context) ([]shop.Supplier, error) {
	out := []shop.Supplier{}
	err := b.each(ctx, `SELECT name, delivery FROM suppliers ORDER BY name`, nil, func(scan func(...any) error) error {
		var s shop.Supplier
		var delivery string
		if err := scan(&s.Name, &delivery); err != nil {
			return err
		}
		var err error
		if s.Delivery, err = decimal.NewFromString(delivery); err != nil {
			return damaged(b.path, err)
		}
		out = append(out, s)
		return nil
	})
	return out, err
}

// SetPack implements shop.Book.
func (b *Book) SetPack(ctx context.Context, p shop.Pack) (shop.Pack, error) {
	p, err := p.Check()
	if err != nil {
		return p, err
	}
	err = b.within(ctx, func(tx *sql.Tx) error {
		if _, err := b.find(ctx, tx, p.Kind.Size, p.Kind.Colour); err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, `INSERT INTO suppliers (name, delivery) VALUES (?, '0') ON CONFLICT DO NOTHING`, p.Supplier); err != nil {
			return err
		}
		// The update that changes nothing makes RETURNING tell the number of a pack that is there.
		err := tx.QueryRowContext(ctx, `INSERT INTO packs (supplier, size, colour, labelled, filled) VALUES (?, ?, ?, ?, ?)
			ON CONFLICT DO UPDATE SET supplier = excluded.supplier RETURNING id`,
			p.Supplier, p.Kind.Size, p.Kind.Colour, p.Labelled, string(p.Filled)).Scan(&p.ID)
		if err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, `DELETE FROM prices WHERE pack = ?`, p.ID); err != nil {
			return err
		}
		for _, br := range p.Breaks {
			if _, err := tx.ExecContext(ctx, `INSERT INTO prices (pack, at_least, price) VALUES (?, ?, ?)`, p.ID, br.From, br.Price.String()); err != nil {
				return err
			}
		}
		return nil
	})
	return p, err
}

// RemovePack implements shop.Book.
func (b *Book) RemovePack(ctx context.Context, id int64) error {
	return b.within(ctx, func(tx *sql.Tx) error {
		res, err := tx.ExecContext(ctx, `DELETE FROM packs WHERE id = ?`, id)
		if err != nil {
			return err
		}
		n, err := res.RowsAffected()
		if err == nil && n == 0 {
			return fault.New("pack", "", "there is no pack %d; brushfall pack list has their numbers", id).
				OnPage("there is no pack %d any more; open the buy list anew", id)
		}
		return err
	})
}

// Packs implements shop.Book.
func (b *Book) Packs(ctx context.Context) ([]shop.Pack, error) {
	out := []shop.Pack{}
	err := b.each(ctx, `SELECT p.id, p.supplier, p.size, p.colour, p.labelled, p.filled, r.at_least, r.price
		FROM packs p JOIN prices r ON r.pack = p.id ORDER BY p.supplier, p.labelled, p.filled, p.id, r.at_least`, nil, func(scan func(...any) error) error {
		var p shop.Pack
		var br shop.Break
		var price string
		if err := scan(&p.ID, &p.Supplier, &p.Kind.Size, &p.Kind.Colour, &p.Labelled, &p.Filled, &br.From, &price); err != nil {
			return err
		}
		var err error
		if br.Price, err = decimal.NewFromString(price); err != nil {
			return damaged(b.path, err)
		}
		if n := len(out); n == 0 || out[n-1].ID != p.ID {
			out = append(out, p)
		}
		last := &out[len(out)-1]
		last.Breaks = append(last.Breaks, br)
		return nil
	})
	slices.SortStableFunc(out, func(a, b shop.Pack) int { return shop.CompareKinds(a.Kind, b.Kind) })
	return out, err
}
