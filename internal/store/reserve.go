package store

import (
	"cmp"
	"context"
	"database/sql"
	"slices"

	"brushfall/internal/shop"
)

// planner works out what promised lines reserve; it reads each design once.
type planner struct {
	book    *Book
	in      asker
	usual   shop.Usual
	designs map[int64]shop.Design
}

func (b *Book) planner(ctx context.Context, in asker) (*planner, error) {
	goods, err := b.goods(ctx, in)
	if err != nil {
		return nil, err
	}
	return &planner{book: b, in: in, usual: shop.UsualOf(goods), designs: map[int64]shop.Design{}}, nil
}

func (p *planner) design(ctx context.Context, id int64) (shop.Design, error) {
	d, ok := p.designs[id]
	if !ok {
		var err error
		if d, err = p.book.design(ctx, p.in, id); err != nil {
			return d, err
		}
		p.designs[id] = d
	}
	return d, nil
}

// promised gives the lines of promised jobs, of one design or with 0 of all, in the
// order of their jobs.
func (p *planner) promised(ctx context.Context, design int64) ([]shop.PromisedLine, error) {
	var out []shop.PromisedLine
	all, err := plannedJobs(ctx, p.in, `WHERE j.state = 'promised' AND (? = 0 OR l.design = ?)`, design, design)
	for _, j := range all {
		for _, l := range j.Lines {
			out = append(out, shop.PromisedLine{Job: j.ID, Line: l})
		}
	}
	slices.SortFunc(out, func(a, b shop.PromisedLine) int {
		return cmp.Or(cmp.Compare(a.Job, b.Job), cmp.Compare(a.Number, b.Number))
	})
	return out, err
}

// cutters gives the promised lines of a design that reserve flock for a template.
func (p *planner) cutters(ctx context.Context, design int64) ([]shop.PromisedLine, error) {
	lines, err := p.promised(ctx, design)
	if err != nil {
		return nil, err
	}
	has, err := p.hasTemplate(ctx, design)
	return shop.Cutters(lines, has), err
}

// hasTemplate says whether transfers of a design were made anew, by whatever job: then
// there is a template of it.
func (p *planner) hasTemplate(ctx context.Context, design int64) (has bool, err error) {
	err = p.in.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM job_lines WHERE design = ? AND made > drawn)`, design).Scan(&has)
	return has, err
}

// toMake gives how many transfers a making takes off the shelf and makes anew for a
// line, the line's design, and whether there is a template of it.
func (p *planner) toMake(ctx context.Context, m shop.Making, l shop.Line) (drawn, fresh int, d shop.Design, has bool, err error) {
	if drawn, fresh, err = l.Take(m.Transfers); err != nil {
		return drawn, fresh, d, false, err
	}
	if d, err = p.design(ctx, l.Design); err != nil {
		return drawn, fresh, d, false, err
	}
	has, err = p.hasTemplate(ctx, l.Design)
	return drawn, fresh, d, has, err
}

// cuts says whether a line of a job is among the cutters.
func cuts(cutters []shop.PromisedLine, job int64, line int) bool {
	return slices.ContainsFunc(cutters, func(c shop.PromisedLine) bool { return c.Job == job && c.Number == line })
}

// reserve brings up to date what a job reserves, and of the other jobs that use its
// designs those that cut a template or did so before.
func (b *Book) reserve(ctx context.Context, tx *sql.Tx, job int64) error {
	j, err := b.job(ctx, tx, job)
	if err != nil {
		return err
	}
	if _, err := tx.ExecContext(ctx, `DELETE FROM reservations WHERE job = ?`, job); err != nil {
		return err
	}
	p, err := b.planner(ctx, tx)
	if err != nil {
		return err
	}
	done := map[int64]bool{}
	for _, l := range j.Lines {
		if done[l.Design] {
			continue
		}
		done[l.Design] = true
		cutters, err := p.cutters(ctx, l.Design)
		if err != nil {
			return err
		}
		flock, err := p.flockHolders(ctx, l.Design)
		if err != nil {
			return err
		}
		for _, other := range append(flock, cutters...) {
			if other.Job != job {
				if err := p.write(ctx, tx, other, cutters); err != nil {
					return err
				}
			}
		}
		for _, own := range j.Lines {
			if own.Design == l.Design && j.State == shop.Promised {
				if err := p.write(ctx, tx, shop.PromisedLine{Job: job, Line: own}, cutters); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// flockHolders gives the promised lines of a design that reserve flock at present.
func (p *planner) flockHolders(ctx context.Context, design int64) ([]shop.PromisedLine, error) {
	var out []shop.PromisedLine
	all, err := plannedJobs(ctx, p.in, `WHERE j.state = 'promised' AND l.design = ? AND EXISTS (SELECT 1 FROM reservations r WHERE r.job = l.job AND r.line = l.line AND r.size = 'flock')`, design)
	for _, j := range all {
		for _, l := range j.Lines {
			out = append(out, shop.PromisedLine{Job: j.ID, Line: l})
		}
	}
	return out, err
}

// write puts what a line reserves in the place of what it did.
func (p *planner) write(ctx context.Context, tx *sql.Tx, l shop.PromisedLine, cutters []shop.PromisedLine) error {
	d, err := p.design(ctx, l.Design)
	if err != nil {
		return err
	}
	if _, err := tx.ExecContext(ctx, `DELETE FROM reservations WHERE job = ? AND line = ?`, l.Job, l.Number); err != nil {
		return err
	}
	for _, w := range l.Reserves(d, cuts(cutters, l.Job, l.Number), p.usual) {
		if _, err := tx.ExecContext(ctx, `INSERT INTO reservations (job, line, size, colour, pieces) VALUES (?, ?, ?, ?, ?)`, l.Job, l.Number, w.Kind.Size, w.Kind.Colour, w.Pieces); err != nil {
			return err
		}
	}
	return nil
}

// reserveAll works out anew what every promised job reserves.
func (b *Book) reserveAll(ctx context.Context, tx *sql.Tx) error {
	p, err := b.planner(ctx, tx)
	if err != nil {
		return err
	}
	lines, err := p.promised(ctx, 0)
	if err != nil {
		return err
	}
	cutters := map[int64][]shop.PromisedLine{}
	for _, l := range lines {
		if _, ok := cutters[l.Design]; !ok {
			if cutters[l.Design], err = p.cutters(ctx, l.Design); err != nil {
				return err
			}
		}
		if err := p.write(ctx, tx, l, cutters[l.Design]); err != nil {
			return err
		}
	}
	return nil
}
