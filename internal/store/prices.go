package store

import (
	"context"
	"database/sql"
	"errors"
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"brushfall/internal/shop"
)

var _ shop.Prices = (*Book)(nil)

// SetRates implements shop.Prices.
func (b *Book) SetRates(ctx context.Context, at time.Time, rates []shop.Rate) error {
	return b.within(ctx, func(tx *sql.Tx) error {
		for _, r := range rates {
			r, err := r.Check()
			if err != nil {
				return err
			}
			if _, err := tx.ExecContext(ctx, `INSERT INTO rates (at, name, value, times) VALUES (?, ?, ?, ?)`, stamp(at), r.Name, r.Value, r.Times); err != nil {
				return err
			}
		}
		return nil
	})
}

// withRates is the first schema that has rates.
const withRates = 6

// ReadRates gives the rates of the book at path, and changes nothing in it, not even its
// schema. Faults "book-missing", "book-not", "book-newer".
func ReadRates(ctx context.Context, path string) ([]shop.Rate, error) {
	b, err := Look(ctx, path)
	if err != nil {
		return nil, err
	}
	var out []shop.Rate
	at, err := b.version(ctx)
	if err == nil && at >= withRates {
		out, err = b.Rates(ctx)
	}
	return out, errors.Join(b.wrap(err), b.Close())
}

// Rates implements shop.Prices.
func (b *Book) Rates(ctx context.Context) ([]shop.Rate, error) {
	out := []shop.Rate{}
	err := b.each(ctx, `SELECT at, name, value, times FROM rates ORDER BY id`, nil, func(scan func(...any) error) error {
		var r shop.Rate
		var at string
		if err := scan(&at, &r.Name, &r.Value, &r.Times); err != nil {
			return err
		}
		var err error
		if r.At, err = time.Parse(time.RFC3339, at); err != nil {
			return damaged(b.path, err)
		}
		out = append(out, r)
		return nil
	})
	return out, err
}

// listed is the price list as it stands.
const listed = `SELECT design, what_for, at_least, price FROM price_list l
	WHERE price IS NOT NULL AND id = (SELECT MAX(id) FROM price_list WHERE design = l.design AND what_for = l.what_for AND at_least = l.at_least)`

// SetListed implements shop.Prices. What stands already as it is named is left as it is.
func (b *Book) SetListed(ctx context.Context, at time.Time, rows []shop.Listed, whole bool) error {
	rows = slices.Clone(rows)
	for i := range rows {
		var err error
		if rows[i], err = rows[i].Check(); err != nil {
			return err
		}
	}
	return b.within(ctx, func(tx *sql.Tx) error {
		before, err := b.priceList(ctx, tx)
		if err != nil {
			return err
		}
		add := func(l shop.Listed, price any) error {
			_, err := tx.ExecContext(ctx, `INSERT INTO price_list (at, design, what_for, at_least, price) VALUES (?, ?, ?, ?, ?)`, stamp(at), l.Design, l.For, l.From, price)
			return err
		}
		for _, l := range rows {
			if slices.ContainsFunc(before, func(o shop.Listed) bool { return shop.CompareListed(o, l) == 0 && o.Price.Equal(l.Price) }) {
				continue
			}
			if err := add(l, l.Price.String()); err != nil {
				return err
			}
		}
		for _, o := range before {
			if whole && !slices.ContainsFunc(rows, func(l shop.Listed) bool { return shop.CompareListed(o, l) == 0 }) {
				if err := add(o, nil); err != nil {
					return err
				}
			}
		}
		return nil
	})
}

// priceList reads the list, of the book or within a transaction.
func (b *Book) priceList(ctx context.Context, in asker) ([]shop.Listed, error) {
	out := []shop.Listed{}
	err := rowsOf(ctx, in, listed, nil, func(scan func(...any) error) error {
		var l shop.Listed
		var text string
		if err := scan(&l.Design, &l.For, &l.From, &text); err != nil {
			return err
		}
		var err error
		if l.Price, err = decimal.NewFromString(text); err != nil {
			return damaged(b.path, err)
		}
		out = append(out, l)
		return nil
	})
	slices.SortFunc(out, shop.CompareListed)
	return out, err
}

// PriceList implements shop.Prices.
func (b *Book) PriceList(ctx context.Context) ([]shop.Listed, error) {
	list, err := b.priceList(ctx, b.db)
	return list, b.wrap(err)
}
