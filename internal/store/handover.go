package store

import (
	"context"
	"database/sql"
	"slices"
	"time"

	"brushfall/internal/shop"
)

// HandOverLine implements shop.Jobs.
func (b *Book) HandOverLine(ctx context.Context, at time.Time, id int64, line int, note string) (shop.Job, error) {
	note, err := shop.CleanNote(note)
	if err != nil {
		return shop.Job{}, err
	}
	return b.onJob(ctx, id, func(tx *sql.Tx, j shop.Job) error {
		if err := j.MayHandOver(line); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, `INSERT INTO handed_lines (job, line, at, after, note) VALUES (?, ?, ?, (SELECT MAX(id) FROM job_steps WHERE job = ?), ?)`, id, line, stamp(at), id, note)
		if err != nil {
			return err
		}
		if j, err = b.job(ctx, tx, id); err != nil {
			return err
		}
		return endIfNobodyWaits(ctx, tx, at, j)
	})
}

// endIfNobodyWaits hands a made job over whose lines all were.
func endIfNobodyWaits(ctx context.Context, tx *sql.Tx, at time.Time, j shop.Job) error {
	if j.State != shop.Made || !j.NobodyWaits() {
		return nil
	}
	_, err := setState(ctx, tx, j.ID, shop.Step{At: at, What: string(shop.HandedOver), State: shop.HandedOver})
	return err
}

// withHanded puts the lines that were handed over before the rest among a job's steps.
func (b *Book) withHanded(ctx context.Context, id int64, steps []shop.Step) ([]shop.Step, error) {
	err := b.each(ctx, `SELECT line, at, after, note FROM handed_lines WHERE job = ? ORDER BY after DESC, at DESC, line DESC`, []any{id}, func(scan func(...any) error) error {
		s := shop.Step{What: string(shop.HandedOver)}
		var at string
		var after int64
		if err := scan(&s.Line, &at, &after, &s.Note); err != nil {
			return err
		}
		var err error
		if s.At, err = time.Parse(time.RFC3339, at); err != nil {
			return damaged(b.path, err)
		}
		i := slices.IndexFunc(steps, func(o shop.Step) bool { return o.ID == after })
		if i >= 0 {
			s.State = steps[i].State
		}
		steps = slices.Insert(steps, i+1, s)
		return nil
	})
	return steps, err
}
