package store

import (
	"context"
	"database/sql"
	"errors"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

var _ shop.Catalogue = (*Book)(nil)

// Goods implements shop.Catalogue.
func (b *Book) Goods(ctx context.Context) ([]shop.Goods, error) {
	out, err := b.goods(ctx, b.db)
	return out, b.wrap(err)
}

func (b *Book) goods(ctx context.Context, in asker) ([]shop.Goods, error) {
	out := shop.BuiltInGoods()
	err := rowsOf(ctx, in, `SELECT class, name, width, height, cost, usual, retired, source FROM goods ORDER BY class, rowid`, nil, func(scan func(...any) error) error {
		g := shop.Goods{Own: true}
		var cost sql.NullString
		if err := scan(&g.Class, &g.Name, &g.Width, &g.Height, &cost, &g.Usual, &g.Retired, &g.Source); err != nil {
			return err
		}
		if cost.Valid {
			m, err := decimal.NewFromString(cost.String)
			if err != nil {
				return damaged(b.path, err)
			}
			g.Cost = &m
		}
		if i := slices.IndexFunc(out, func(o shop.Goods) bool { return o.Kind() == g.Kind() }); i >= 0 {
			out[i] = g
			return nil
		}
		out = append(out, g)
		return nil
	})
	shop.SortGoods(out)
	return out, err
}

// SetGoods implements shop.Catalogue. What open jobs reserve follows the usual goods.
func (b *Book) SetGoods(ctx context.Context, g shop.Goods) error {
	g, err := g.Check()
	if err != nil {
		return err
	}
	var cost any
	if g.Cost != nil {
		cost = g.Cost.String()
	}
	return b.within(ctx, func(tx *sql.Tx) error {
		if g.Usual {
			if _, err := tx.ExecContext(ctx, `UPDATE goods SET usual = 0 WHERE class = ? AND name <> ?`, g.Class, g.Name); err != nil {
				return err
			}
		}
		_, err := tx.ExecContext(ctx, `INSERT INTO goods (class, name, width, height, cost, usual, retired, source) VALUES (?, ?, ?, ?, ?, ?, ?, ?)
			ON CONFLICT DO UPDATE SET width = excluded.width, height = excluded.height, cost = excluded.cost, usual = excluded.usual, retired = excluded.retired, source = excluded.source`,
			g.Class, g.Name, g.Width, g.Height, cost, g.Usual, g.Retired, g.Source)
		if err != nil {
			return err
		}
		return b.reserveAll(ctx, tx)
	})
}

// Colours implements shop.Catalogue.
func (b *Book) Colours(ctx context.Context) ([]shop.Colour, error) {
	out, err := colours(ctx, b.db)
	return out, b.wrap(err)
}

// ReadColours gives the colours of the book at path, and changes nothing in it, not even
// its schema. Faults "book-missing", "book-not", "book-newer".
func ReadColours(ctx context.Context, path string) ([]shop.Colour, error) {
	b, err := Look(ctx, path)
	if err != nil {
		return nil, err
	}
	out := shop.BuiltInColours()
	at, err := b.version(ctx)
	if err == nil && at >= withGoods {
		out, err = colours(ctx, b.db)
	}
	return out, errors.Join(b.wrap(err), b.Close())
}

func colours(ctx context.Context, in asker) ([]shop.Colour, error) {
	out := shop.BuiltInColours()
	err := rowsOf(ctx, in, `SELECT name, finish, shown, sizes, retired, source FROM colours ORDER BY rowid`, nil, func(scan func(...any) error) error {
		c := shop.Colour{Own: true}
		var sizes string
		if err := scan(&c.Name, &c.Finish, &c.Shown, &sizes, &c.Retired, &c.Source); err != nil {
			return err
		}
		c.Sizes = strings.Fields(sizes)
		if i := slices.IndexFunc(out, func(o shop.Colour) bool { return o.Name == c.Name }); i >= 0 {
			out[i] = c
			return nil
		}
		out = append(out, c)
		return nil
	})
	return out, err
}

// SetColour implements shop.Catalogue.
func (b *Book) SetColour(ctx context.Context, c shop.Colour) error {
	c, err := c.Check()
	if err != nil {
		return err
	}
	return b.within(ctx, func(tx *sql.Tx) error {
		_, err := tx.ExecContext(ctx, `INSERT INTO colours (name, finish, shown, sizes, retired, source) VALUES (?, ?, ?, ?, ?, ?)
			ON CONFLICT DO UPDATE SET finish = excluded.finish, shown = excluded.shown, sizes = excluded.sizes, retired = excluded.retired, source = excluded.source`,
			c.Name, string(c.Finish), c.Shown, strings.Join(c.Sizes, " "), c.Retired, c.Source)
		return err
	})
}

// Find implements shop.Catalogue.
func (b *Book) Find(ctx context.Context, size, colour string) (shop.Kind, error) {
	k, err := b.find(ctx, b.db, size, colour)
	return k, b.wrap(err)
}

func (b *Book) find(ctx context.Context, in asker, size, colour string) (shop.Kind, error) {
	k, err := shop.NewKind(size, colour)
	if fault.CodeOf(err) == "colour-unknown" {
		own, failed := colours(ctx, in)
		if failed != nil {
			return k, failed
		}
		return shop.OwnKind(own, size, colour, err)
	}
	if err != nil || k.Stone() {
		return k, err
	}
	if id, ok := k.Design(); ok {
		_, err := b.design(ctx, in, id)
		return k, err
	}
	all, err := b.goods(ctx, in)
	if err != nil {
		return k, err
	}
	return k, shop.KnownGoods(all, k)
}
