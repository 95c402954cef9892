package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"time"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

var _ shop.Quotes = (*Book)(nil)

// AddQuote implements shop.Quotes.
func (b *Book) AddQuote(ctx context.Context, at time.Time, q shop.Quote) (shop.Quote, error) {
	q, err := q.Check()
	if err != nil {
		return q, err
	}
	made, err := json.Marshal(q.Basis)
	if err != nil {
		return q, fault.Wrap("book", err)
	}
	err = b.within(ctx, func(tx *sql.Tx) error {
		if q.Customer != 0 {
			if err := standing(ctx, tx, q.Customer); err != nil {
				return err
			}
		}
		for _, d := range q.Basis.Designs {
			if _, err := b.design(ctx, tx, d); err != nil {
				return err
			}
		}
		res, err := tx.ExecContext(ctx, `INSERT INTO quotes (at, day, until, customer, note, answer, total, made) VALUES (?, ?, ?, ?, ?, 'given', ?, ?)`,
			stamp(at), q.Day, q.Until, someone(q.Customer), q.Note, q.Total.String(), string(made))
		if err != nil {
			return err
		}
		if q.Number, err = res.LastInsertId(); err != nil {
			return err
		}
		q, err = b.quote(ctx, tx, q.Number)
		return err
	})
	return q, err
}

// Quote implements shop.Quotes.
func (b *Book) Quote(ctx context.Context, number int64) (shop.Quote, error) {
	q, err := b.quote(ctx, b.db, number)
	return q, b.wrap(err)
}

func (b *Book) quote(ctx context.Context, in asker, number int64) (shop.Quote, error) {
	all, err := b.quotes(ctx, in, `q.made`, `WHERE q.id = ?`, number)
	if err == nil && len(all) == 0 {
		err = fault.New("quote-unknown", "", "there is no quote %d; brushfall quote list has their numbers", number)
	}
	if err != nil {
		return shop.Quote{}, err
	}
	return all[0], nil
}

// Quotes implements shop.Quotes.
func (b *Book) Quotes(ctx context.Context) ([]shop.Quote, error) {
	all, err := b.quotes(ctx, b.db, `'{}'`, ``)
	return all, b.wrap(err)
}

func (b *Book) quotes(ctx context.Context, in asker, made, where string, args ...any) ([]shop.Quote, error) {
	query := `SELECT q.id, q.at, q.day, q.until, COALESCE(q.customer, 0), COALESCE(c.name, ''), q.note, q.answer, COALESCE(q.job, 0), q.total, ` + made + `
		FROM quotes q LEFT JOIN customers c ON c.id = q.customer ` + where + ` ORDER BY q.id DESC`
	out := []shop.Quote{}
	err := rowsOf(ctx, in, query, args, func(scan func(...any) error) error {
		var q shop.Quote
		var at, total, made string
		if err := scan(&q.Number, &at, &q.Day, &q.Until, &q.Customer, &q.Called, &q.Note, &q.Answer, &q.Job, &total, &made); err != nil {
			return err
		}
		if q.Customer != 0 && q.Called == "" {
			q.Called = shop.ErasedName(q.Customer)
		}
		var err error
		if q.At, err = time.Parse(time.RFC3339, at); err != nil {
			return damaged(b.path, err)
		}
		if q.Total, err = decimal.NewFromString(total); err != nil {
			return damaged(b.path, err)
		}
		if err := json.Unmarshal([]byte(made), &q.Basis); err != nil {
			return damaged(b.path, err)
		}
		out = append(out, q)
		return nil
	})
	return out, err
}

// TakeQuote implements shop.Quotes.
func (b *Book) TakeQuote(ctx context.Context, at time.Time, number int64, due string) (shop.Quote, shop.Job, error) {
	var j shop.Job
	q, err := b.answer(ctx, number, func(tx *sql.Tx, q shop.Quote) error {
		var err error
		if j, err = q.AsJob(due).Check(); err != nil {
			return err
		}
		if j, err = b.ask(ctx, tx, at, j); err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, `UPDATE quotes SET answer = 'taken', job = ? WHERE id = ?`, j.ID, number)
		return err
	})
	return q, j, err
}

// TurnDownQuote implements shop.Quotes.
func (b *Book) TurnDownQuote(ctx context.Context, number int64) (shop.Quote, error) {
	return b.answer(ctx, number, func(tx *sql.Tx, _ shop.Quote) error {
		_, err := tx.ExecContext(ctx, `UPDATE quotes SET answer = 'turned down' WHERE id = ?`, number)
		return err
	})
}

// answer changes a quote that has none yet, in one transaction.
func (b *Book) answer(ctx context.Context, number int64, do func(*sql.Tx, shop.Quote) error) (shop.Quote, error) {
	var q shop.Quote
	err := b.within(ctx, func(tx *sql.Tx) error {
		var err error
		if q, err = b.quote(ctx, tx, number); err != nil {
			return err
		}
		if q.Answer != shop.Given {
			return fault.New("quote-answered", "", "quote %d was %s already", number, q.Answer)
		}
		if err := do(tx, q); err != nil {
			return err
		}
		q, err = b.quote(ctx, tx, number)
		return err
	})
	return q, err
}
