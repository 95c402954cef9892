package store

import (
	"context"
	"database/sql"
	"time"

	"brushfall/internal/fault"
)

// EraseCustomer implements shop.Customers. What is overwritten or freed is set to
// nought while it is done (secure_delete); then the file is written anew, so that no
// earlier copy of a page is left in it, and the log is emptied. Both are done also
// where the customer was erased before: a program that ended half way is made good.
func (b *Book) EraseCustomer(ctx context.Context, at time.Time, id int64) error {
	if _, err := b.db.ExecContext(ctx, `PRAGMA secure_delete = ON`); err != nil {
		return b.wrap(err)
	}
	err := b.within(ctx, func(tx *sql.Tx) error {
		if err := standing(ctx, tx, id); err != nil && fault.CodeOf(err) != "customer-erased" {
			return err
		}
		for _, s := range []struct {
			query string
			args  []any
		}{
			{`UPDATE customers SET erased = ?, name = '', email = '', phone = '', address = '', note = '' WHERE id = ? AND erased IS NULL`, []any{stamp(at), id}},
			{`UPDATE job_steps SET note = '' WHERE note <> '' AND job IN (SELECT id FROM jobs WHERE customer = ?)`, []any{id}},
			{`UPDATE handed_lines SET note = '' WHERE note <> '' AND job IN (SELECT id FROM jobs WHERE customer = ?)`, []any{id}},
			{`UPDATE jobs SET note = '' WHERE note <> '' AND customer = ?`, []any{id}},
			{`UPDATE quotes SET note = '' WHERE note <> '' AND customer = ?`, []any{id}},
			{`UPDATE template_events SET note = '' WHERE note <> '' AND template IN (SELECT id FROM templates WHERE customer = ?)`, []any{id}},
			{`UPDATE templates SET note = '' WHERE note <> '' AND customer = ?`, []any{id}},
		} {
			if _, err := tx.ExecContext(ctx, s.query, s.args...); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	if _, err := b.db.ExecContext(ctx, `VACUUM`); err != nil {
		return b.wrap(err)
	}
	return b.emptyLog(ctx, id)
}

// emptyings is how often it is tried to empty the log, and pause, in milliseconds, how
// long is waited between, together as long as patience: SQLite waits for readers and
// writers itself, but not where another program moves the log at that moment.
const (
	emptyings = 200
	pause     = patience / emptyings
)

func (b *Book) emptyLog(ctx context.Context, id int64) error {
	for range emptyings {
		var busy, logged, moved int
		if err := b.db.QueryRowContext(ctx, `PRAGMA wal_checkpoint(TRUNCATE)`).Scan(&busy, &logged, &moved); err != nil {
			return b.wrap(err)
		}
		if busy == 0 {
			return nil
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(pause * time.Millisecond):
		}
	}
	return fault.New("book-busy", b.path, "the customer is erased, but another program has the book open and keeps earlier bytes in its log; end it, and erase customer %d again", id)
}
