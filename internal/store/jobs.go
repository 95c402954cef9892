package store

import (
	"context"
	"database/sql"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

var _ shop.Jobs = (*Book)(nil)

// Ask implements shop.Jobs.
func (b *Book) Ask(ctx context.Context, at time.Time, j shop.Job) (shop.Job, error) {
	j, err := j.Check()
	if err != nil {
		return j, err
	}
	err = b.within(ctx, func(tx *sql.Tx) error {
		j, err = b.ask(ctx, tx, at, j)
		return err
	})
	return j, err
}

// ask books a checked job within a transaction.
func (b *Book) ask(ctx context.Context, tx *sql.Tx, at time.Time, j shop.Job) (shop.Job, error) {
	if j.Customer != 0 {
		if err := standing(ctx, tx, j.Customer); err != nil {
			return j, err
		}
	}
	res, err := tx.ExecContext(ctx, `INSERT INTO jobs (customer, state, due, note) VALUES (?, 'asked', ?, ?)`, someone(j.Customer), j.Due, j.Note)
	if err != nil {
		return j, err
	}
	if j.ID, err = res.LastInsertId(); err != nil {
		return j, err
	}
	if err := b.addLines(ctx, tx, j.ID, j.Lines); err != nil {
		return j, err
	}
	if _, err := addStep(ctx, tx, j.ID, shop.Step{At: at, What: string(shop.Asked), State: shop.Asked}); err != nil {
		return j, err
	}
	return b.job(ctx, tx, j.ID)
}

// someone gives the number of a row, NULL for 0.
func someone(id int64) sql.NullInt64 { return sql.NullInt64{Int64: id, Valid: id != 0} }

// addStep writes a step of a job's history and gives its number.
func addStep(ctx context.Context, tx *sql.Tx, job int64, s shop.Step) (int64, error) {
	var cost any
	if s.Cost != nil {
		cost = s.Cost.String()
	}
	res, err := tx.ExecContext(ctx, `INSERT INTO job_steps (job, at, what, state, line, transfers, drawn, cost, note) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		job, stamp(s.At), s.What, string(s.State), s.Line, s.Transfers, s.Drawn, cost, s.Note)
	if err != nil {
		return 0, err
	}
	id, err := res.LastInsertId()
	if err != nil {
		return 0, err
	}
	for _, d := range s.Deeds {
		if _, err := tx.ExecContext(ctx, `INSERT INTO step_deeds (deed, step) VALUES (?, ?)`, d, id); err != nil {
			return 0, err
		}
	}
	return id, nil
}

// Job implements shop.Jobs.
func (b *Book) Job(ctx context.Context, id int64) (shop.Job, error) {
	j, err := b.job(ctx, b.db, id)
	return j, b.wrap(err)
}

func (b *Book) job(ctx context.Context, in asker, id int64) (shop.Job, error) {
	all, err := jobs(ctx, in, `WHERE j.id = ?`, id)
	if err == nil && len(all) == 0 {
		err = fault.New("job-unknown", "", "there is no job %d; brushfall job list has their numbers", id).
			OnPage("there is no job %d; Jobs has them all", id)
	}
	if err != nil {
		return shop.Job{}, err
	}
	return all[0], nil
}

// Jobs implements shop.Jobs.
func (b *Book) Jobs(ctx context.Context, which shop.Which) ([]shop.Job, error) {
	var conditions []string
	var args []any
	if len(which.States) > 0 {
		conditions = append(conditions, `j.state IN (?`+strings.Repeat(`, ?`, len(which.States)-1)+`)`)
		for _, s := range which.States {
			args = append(args, string(s))
		}
	}
	if which.Customer != 0 {
		conditions = append(conditions, `j.customer = ?`)
		args = append(args, which.Customer)
	}
	where := ``
	if len(conditions) > 0 {
		where = `WHERE ` + strings.Join(conditions, ` AND `)
	}
	out, err := jobs(ctx, b.db, where, args...)
	return out, b.wrap(err)
}

// jobs reads jobs with their lines in one query, so that all is of one moment.
func jobs(ctx context.Context, in asker, where string, args ...any) ([]shop.Job, error) {
	return jobsWith(ctx, in, `EXISTS (SELECT 1 FROM handed_lines h WHERE h.job = l.job AND h.line = l.line)`, where, args...)
}

// plannedJobs is jobs without what was handed over: nothing is reserved by it, and a book
// of before schemaOfMaking is checked too.
func plannedJobs(ctx context.Context, in asker, where string, args ...any) ([]shop.Job, error) {
	return jobsWith(ctx, in, `FALSE`, where, args...)
}

func jobsWith(ctx context.Context, in asker, handed, where string, args ...any) ([]shop.Job, error) {
	out := []shop.Job{}
	query := `SELECT j.id, COALESCE(j.customer, 0), COALESCE(c.name, ''), c.erased IS NOT NULL, j.state, j.due, j.note,
			l.line, l.design, d.name, l.quantity, l.destination, l.blank, l.template, l.shelf, l.made, l.drawn, ` + handed + `
		FROM jobs j LEFT JOIN customers c ON c.id = j.customer JOIN job_lines l ON l.job = j.id JOIN designs d ON d.id = l.design ` + where + `
		ORDER BY j.due = '', j.due, j.id, l.line`
	err := rowsOf(ctx, in, query, args, func(scan func(...any) error) error {
		var j shop.Job
		var l shop.Line
		var erased bool
		err := scan(&j.ID, &j.Customer, &j.Called, &erased, &j.State, &j.Due, &j.Note,
			&l.Number, &l.Design, &l.Name, &l.Quantity, &l.Destination, &l.Blank, &l.Template, &l.Shelf, &l.Made, &l.Drawn, &l.Handed)
		if err != nil {
			return err
		}
		if n := len(out); n == 0 || out[n-1].ID != j.ID {
			if erased {
				j.Called = shop.ErasedName(j.Customer)
			}
			out = append(out, j)
		}
		last := &out[len(out)-1]
		last.Lines = append(last.Lines, l)
		return nil
	})
	return out, err
}

// Steps implements shop.Jobs.
func (b *Book) Steps(ctx context.Context, id int64) ([]shop.Step, error) {
	if _, err := b.Job(ctx, id); err != nil {
		return nil, err
	}
	out := []shop.Step{}
	query := `SELECT s.id, s.at, s.what, s.state, s.line, s.transfers, s.drawn, s.cost, s.note, d.deed, COALESCE(t.code, '')
		FROM job_steps s LEFT JOIN step_deeds d ON d.step = s.id LEFT JOIN step_templates st ON st.step = s.id
			LEFT JOIN template_events e ON e.id = st.event LEFT JOIN templates t ON t.id = e.template WHERE s.job = ? ORDER BY s.id, d.deed`
	err := b.each(ctx, query, []any{id}, func(scan func(...any) error) error {
		var s shop.Step
		var at string
		var cost sql.NullString
		var deed sql.NullInt64
		if err := scan(&s.ID, &at, &s.What, &s.State, &s.Line, &s.Transfers, &s.Drawn, &cost, &s.Note, &deed, &s.Template); err != nil {
			return err
		}
		if n := len(out); n == 0 || out[n-1].ID != s.ID {
			var err error
			if s.At, err = time.Parse(time.RFC3339, at); err != nil {
				return damaged(b.path, err)
			}
			if cost.Valid {
				m, err := decimal.NewFromString(cost.String)
				if err != nil {
					return damaged(b.path, err)
				}
				s.Cost = &m
			}
			out = append(out, s)
		}
		if deed.Valid {
			last := &out[len(out)-1]
			last.Deeds = append(last.Deeds, deed.Int64)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return b.withHanded(ctx, id, out)
}
