package store

import (
	"context"
	"database/sql"
	"time"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// onJob does something with a job in one transaction, and gives the job after it.
func (b *Book) onJob(ctx context.Context, id int64, do func(tx *sql.Tx, j shop.Job) error) (shop.Job, error) {
	var j shop.Job
	err := b.within(ctx, func(tx *sql.Tx) error {
		var err error
		if j, err = b.job(ctx, tx, id); err != nil {
			return err
		}
		if err := do(tx, j); err != nil {
			return err
		}
		if err := b.reserve(ctx, tx, id); err != nil {
			return err
		}
		j, err = b.job(ctx, tx, id)
		return err
	})
	if err != nil {
		return shop.Job{}, err
	}
	return j, nil
}

// move brings a job to another state, with the step that says so.
func (b *Book) move(ctx context.Context, at time.Time, id int64, next shop.State, note string) (shop.Job, error) {
	note, err := shop.CleanNote(note)
	if err != nil {
		return shop.Job{}, err
	}
	return b.onJob(ctx, id, func(tx *sql.Tx, j shop.Job) error {
		if err := j.Move(next); err != nil {
			return err
		}
		_, err := setState(ctx, tx, id, shop.Step{At: at, What: string(next), State: next, Note: note})
		return err
	})
}

// setState writes a step that moves a job, and gives its number.
func setState(ctx context.Context, tx *sql.Tx, id int64, s shop.Step) (int64, error) {
	if _, err := tx.ExecContext(ctx, `UPDATE jobs SET state = ? WHERE id = ?`, string(s.State), id); err != nil {
		return 0, err
	}
	return addStep(ctx, tx, id, s)
}

// HandOver implements shop.Jobs.
func (b *Book) HandOver(ctx context.Context, at time.Time, id int64, note string) (shop.Job, error) {
	return b.move(ctx, at, id, shop.HandedOver, note)
}

// Drop implements shop.Jobs.
func (b *Book) Drop(ctx context.Context, at time.Time, id int64, note string) (shop.Job, error) {
	return b.move(ctx, at, id, shop.Dropped, note)
}

// Promise implements shop.Jobs.
func (b *Book) Promise(ctx context.Context, at time.Time, id int64, note string) (shop.Job, error) {
	note, err := shop.CleanNote(note)
	if err != nil {
		return shop.Job{}, err
	}
	return b.onJob(ctx, id, func(tx *sql.Tx, j shop.Job) error {
		if j.State != shop.Promised {
			if err := j.Move(shop.Promised); err != nil {
				return err
			}
		}
		if err := shareShelf(ctx, tx, j); err != nil {
			return err
		}
		_, err := setState(ctx, tx, id, shop.Step{At: at, What: string(shop.Promised), State: shop.Promised, Note: note})
		return err
	})
}

// shareShelf gives a job's lines, in their order, the transfers of their designs that
// are on the shelf and that no other job has.
func shareShelf(ctx context.Context, tx *sql.Tx, j shop.Job) error {
	given := map[int64]int{}
	for _, l := range j.Lines {
		share := l.Drawn
		if l.Destination != shop.ToShelf {
			k := shop.TransferOf(l.Design)
			var free int
			err := tx.QueryRowContext(ctx, `SELECT
				COALESCE((SELECT SUM(p.pieces) FROM lots l JOIN lot_places p ON p.lot = l.id WHERE l.size = ? AND l.colour = ?), 0) -
				COALESCE((SELECT SUM(pieces) FROM reservations WHERE size = ? AND colour = ? AND job <> ?), 0)`,
				k.Size, k.Colour, k.Size, k.Colour, j.ID).Scan(&free)
			if err != nil {
				return err
			}
			more := max(0, min(free-given[l.Design], l.Quantity-l.Made))
			given[l.Design] += more
			share += more
		}
		if _, err := tx.ExecContext(ctx, `UPDATE job_lines SET shelf = ? WHERE job = ? AND line = ?`, share, j.ID, l.Number); err != nil {
			return err
		}
	}
	return nil
}

// Amend implements shop.Jobs.
func (b *Book) Amend(ctx context.Context, at time.Time, a shop.Amendment, note string) (shop.Job, error) {
	note, err := shop.CleanNote(note)
	if err != nil {
		return shop.Job{}, err
	}
	return b.onJob(ctx, a.Job, func(tx *sql.Tx, j shop.Job) error {
		next, err := a.Apply(j)
		if err != nil {
			return err
		}
		if a.Customer != nil && next.Customer != 0 {
			if err := standing(ctx, tx, next.Customer); err != nil {
				return err
			}
		}
		if _, err := tx.ExecContext(ctx, `UPDATE jobs SET customer = ?, due = ?, note = ? WHERE id = ?`,
			sql.NullInt64{Int64: next.Customer, Valid: next.Customer != 0}, next.Due, next.Note, j.ID); err != nil {
			return err
		}
		if len(a.Add)+len(a.Remove) > 0 { // still asked for: nothing hangs on the lines
			if _, err := tx.ExecContext(ctx, `DELETE FROM job_lines WHERE job = ?`, j.ID); err != nil {
				return err
			}
			if err := b.addLines(ctx, tx, j.ID, next.Lines); err != nil {
				return err
			}
		}
		_, err = addStep(ctx, tx, j.ID, shop.Step{At: at, What: shop.StepChanged, State: j.State, Note: note})
		return err
	})
}

// addLines writes the lines of a job that is asked for.
func (b *Book) addLines(ctx context.Context, tx *sql.Tx, job int64, lines []shop.Line) error {
	for _, l := range lines {
		d, err := b.design(ctx, tx, l.Design)
		if err != nil {
			return err
		}
		for _, s := range d.Stones {
			if s.Take > shop.MostPieces/l.Quantity {
				return fault.New("pieces", "", "%d transfers of %s are more than %d pieces of %s", l.Quantity, d.Name, shop.MostPieces, s.Kind)
			}
		}
		if l.Blank != "" {
			if _, err := b.find(ctx, tx, shop.BlankClass, l.Blank); err != nil {
				return err
			}
		}
		if l.Template == shop.AsNeeded {
			var kept bool
			if err := tx.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM templates t JOIN template_states s ON s.template = t.id WHERE t.digest = ? AND s.condition <> 'gone')`, d.Digest).Scan(&kept); err != nil {
				return err
			}
			if kept {
				l.Template = shop.There
			}
		}
		_, err = tx.ExecContext(ctx, `INSERT INTO job_lines (job, line, design, quantity, destination, blank, template) VALUES (?, ?, ?, ?, ?, ?, ?)`,
			job, l.Number, l.Design, l.Quantity, string(l.Destination), l.Blank, string(l.Template))
		if err != nil {
			return err
		}
	}
	return nil
}
