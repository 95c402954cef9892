package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

var _ shop.Quotes = (*Book)(nil)

// AddQuote implements shop.Quotes.
func (b *Book) AddQuote(ctx context.Context, at time.Time, q shop.Quote, fresh []shop.Design, before int64) (shop.Quote, error) {
	q, err := q.Check()
	if err != nil {
		return q, err
	}
	if fresh, err = shop.CheckDesigns(q.Basis.Designs, fresh); err != nil {
		return q, err
	}
	err = b.within(ctx, func(tx *sql.Tx) error {
		if before != 0 {
			if err := b.turnDown(ctx, tx, before); err != nil {
				return err
			}
		}
		if q.Customer != 0 {
			if err := standing(ctx, tx, q.Customer); err != nil {
				return err
			}
		}
		if q.Basis.Designs, err = b.designsOf(ctx, tx, at, q.Basis.Designs, fresh); err != nil {
			return err
		}
		made, err := json.Marshal(q.Basis)
		if err != nil {
			return fault.Wrap("book", err)
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

// designsOf gives the numbers of designs that must be there; fresh ones stand where a
// number is 0, and come into the book.
func (b *Book) designsOf(ctx context.Context, tx *sql.Tx, at time.Time, numbers []int64, fresh []shop.Design) ([]int64, error) {
	out := slices.Clone(numbers)
	for i, n := range numbers {
		if n != 0 {
			if _, err := b.design(ctx, tx, n); err != nil {
				return nil, err
			}
			continue
		}
		var err error
		if out[i], err = b.addDesign(ctx, tx, at, fresh[0]); err != nil {
			return nil, err
		}
		fresh = fresh[1:]
	}
	return out, nil
}

// Quote implements shop.Quotes.
func (b *Book) Quote(ctx context.Context, number int64) (shop.Quote, error) {
	q, err := b.quote(ctx, b.db, number)
	return q, b.wrap(err)
}

func (b *Book) quote(ctx context.Context, in asker, number int64) (shop.Quote, error) {
	all, err := b.quotes(ctx, in, `q.made`, `WHERE q.id = ?`, number)
	if err == nil && len(all) == 0 {
		err = fault.New("quote-unknown", "", "there is no quote %d; brushfall quote list has their numbers", number).
			OnPage("there is no quote %d; Quotes has them all", number)
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
	var q shop.Quote
	var j shop.Job
	err := b.within(ctx, func(tx *sql.Tx) error {
		var err error
		if q, err = b.unanswered(ctx, tx, number); err != nil {
			return err
		}
		if j, err = q.AsJob(due).Check(); err != nil {
			return err
		}
		if j, err = b.ask(ctx, tx, at, j); err != nil {
			return err
		}
		if _, err = tx.ExecContext(ctx, `UPDATE quotes SET answer = 'taken', job = ? WHERE id = ?`, j.ID, number); err != nil {
			return err
		}
		q, err = b.quote(ctx, tx, number)
		return err
	})
	return q, j, err
}

// TurnDownQuote implements shop.Quotes.
func (b *Book) TurnDownQuote(ctx context.Context, number int64) (shop.Quote, error) {
	var q shop.Quote
	err := b.within(ctx, func(tx *sql.Tx) error {
		err := b.turnDown(ctx, tx, number)
		if err == nil {
			q, err = b.quote(ctx, tx, number)
		}
		return err
	})
	return q, err
}

func (b *Book) turnDown(ctx context.Context, tx *sql.Tx, number int64) error {
	if _, err := b.unanswered(ctx, tx, number); err != nil {
		return err
	}
	_, err := tx.ExecContext(ctx, `UPDATE quotes SET answer = 'turned down' WHERE id = ?`, number)
	return err
}

// unanswered gives a quote that has no answer yet.
func (b *Book) unanswered(ctx context.Context, tx *sql.Tx, number int64) (shop.Quote, error) {
	q, err := b.quote(ctx, tx, number)
	if err == nil && q.Answer != shop.Given {
		err = fault.New("quote-answered", "", "quote %d was %s already", number, q.Answer)
	}
	return q, err
}
