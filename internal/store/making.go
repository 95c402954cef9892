package store

import (
	"context"
	"database/sql"
	"fmt"
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"brushfall/internal/fault"
	"brushfall/internal/shop"
)

// bench is where things of a job are used or spoiled: at one moment, at one place.
type bench struct {
	tx    *sql.Tx
	at    time.Time
	place string
	job   int64
	what  shop.What
	found bool // what the book lacks was there after all
	deeds []int64
	cost  shop.Money
	known bool // what everything cost
}

func newBench(tx *sql.Tx, at time.Time, place string, job int64, what shop.What) *bench {
	return &bench{tx: tx, at: at, place: place, job: job, what: what, cost: decimal.Zero, known: true}
}

// note is what the ledger says of a job's deeds: its number, never a name.
func (n *bench) note() string { return fmt.Sprintf("job %d", n.job) }

// take books what is wanted, from the oldest lots. Of materials and blanks that the
// book never had nothing is booked.
func (n *bench) take(ctx context.Context, wants []shop.Want) error {
	for _, w := range wants {
		c, err := shop.Change{What: n.what, Kind: w.Kind, Pieces: w.Pieces, Place: n.place, Note: n.note()}.Check()
		if err != nil {
			return err
		}
		if !w.Kind.Stone() {
			var lots int
			if err := n.tx.QueryRowContext(ctx, `SELECT COUNT(*) FROM lots WHERE size = ? AND colour = ?`, w.Kind.Size, w.Kind.Colour).Scan(&lots); err != nil {
				return err
			}
			if lots == 0 {
				continue
			}
		}
		if n.found {
			if err := n.countUp(ctx, w); err != nil {
				return err
			}
		}
		shelf, err := shelf(ctx, n.tx, c)
		if err != nil {
			return err
		}
		parts, err := c.Apply(shelf)
		if err != nil {
			return err
		}
		if err := n.value(ctx, parts); err != nil {
			return err
		}
		if err := n.book(ctx, shop.Deed{At: moment(n.at), What: c.What, Kind: c.Kind, Pieces: c.Pieces, Place: c.Place, Note: c.Note, Parts: parts}); err != nil {
			return err
		}
	}
	return nil
}

// countUp counts a kind at the place as what is wanted of it, where the book has less.
func (n *bench) countUp(ctx context.Context, w shop.Want) error {
	c, err := shop.Change{What: shop.Counted, Kind: w.Kind, Pieces: w.Pieces, Place: n.place, Note: n.note()}.Check()
	if err != nil {
		return err
	}
	there, err := shelf(ctx, n.tx, c)
	if err != nil {
		return err
	}
	has := 0
	for _, p := range there {
		has += p.Pieces
	}
	switch {
	case has >= w.Pieces:
		return nil
	case len(there) == 0:
		_, err := receive(ctx, n.tx, n.at, c.Found(), shop.Counted)
		return err
	}
	parts, err := c.Apply(there)
	if err != nil {
		return err
	}
	_, err = add(ctx, n.tx, shop.Deed{At: moment(n.at), What: c.What, Kind: c.Kind, Pieces: c.Pieces, Place: c.Place, Note: c.Note, Parts: parts}, 0)
	return err
}

func (n *bench) book(ctx context.Context, d shop.Deed) error {
	d, err := add(ctx, n.tx, d, 0)
	n.deeds = append(n.deeds, d.ID)
	return err
}

// value adds up what the parts cost: of each lot its share of the lot's cost, as
// shop.Lot has it at this moment.
func (n *bench) value(ctx context.Context, parts []shop.Part) error {
	for _, p := range parts {
		var cost sql.NullString
		var in int
		err := n.tx.QueryRowContext(ctx, `SELECT cost, (SELECT SUM(pieces) FROM entries WHERE lot = lots.id AND what NOT IN ('used', 'spoiled')) FROM lots WHERE id = ?`, p.Lot).Scan(&cost, &in)
		if err != nil {
			return err
		}
		if !cost.Valid {
			n.known = false
			continue
		}
		m, err := decimal.NewFromString(cost.String)
		if err != nil {
			return err
		}
		n.cost = n.cost.Add(shop.ShareOf(m, -p.Pieces, in))
	}
	return nil
}

// sum gives what was used, nil where a lot's cost is not known or nothing was used.
func (n *bench) sum() *shop.Money {
	if !n.known || len(n.deeds) == 0 {
		return nil
	}
	return &n.cost
}

// Make implements shop.Jobs.
func (b *Book) Make(ctx context.Context, at time.Time, m shop.Making) (shop.Job, error) {
	m, err := m.Check()
	if err != nil {
		return shop.Job{}, err
	}
	return b.onJob(ctx, m.Job, func(tx *sql.Tx, j shop.Job) error {
		if err := j.Move(shop.Made); err != nil {
			return err
		}
		lines := j.Lines
		if m.Line != 0 {
			l, err := j.Line(m.Line)
			if err != nil {
				return err
			}
			if l.Made == l.Quantity {
				return fault.New("job-line", "", "line %d of job %d is made already", l.Number, j.ID)
			}
			lines = []shop.Line{l}
		}
		p, err := b.planner(ctx, tx)
		if err != nil {
			return err
		}
		lines = slices.DeleteFunc(slices.Clone(lines), func(l shop.Line) bool { return l.Made == l.Quantity })
		if !m.Found {
			if err := lacking(ctx, tx, m, p, lines); err != nil {
				return err
			}
		}
		for _, l := range lines {
			if err := b.makeLine(ctx, tx, at, m, p, l); err != nil {
				return err
			}
		}
		return nil
	})
}

// makeLine books transfers of one line, and the step.
func (b *Book) makeLine(ctx context.Context, tx *sql.Tx, at time.Time, m shop.Making, p *planner, l shop.Line) error {
	drawn, fresh, d, has, err := p.toMake(ctx, m, l)
	if err != nil {
		return err
	}
	n := newBench(tx, at, m.Place, m.Job, shop.Used)
	n.found = m.Found
	if err := n.take(ctx, l.Needs(d, drawn, fresh, l.Cuts(has), false, p.usual)); err != nil {
		return err
	}
	cost := n.sum()
	if l.Destination == shop.ToShelf {
		r, err := shop.Receipt{Kind: shop.TransferOf(l.Design), Labelled: fresh, Pieces: fresh, Cost: cost, Note: n.note()}.Check()
		if err != nil {
			return err
		}
		came, err := receive(ctx, tx, at, r, shop.Received)
		if err != nil {
			return err
		}
		n.deeds = append(n.deeds, came.ID)
	}
	if _, err := tx.ExecContext(ctx, `UPDATE job_lines SET made = made + ?, drawn = drawn + ? WHERE job = ? AND line = ?`, drawn+fresh, drawn, m.Job, l.Number); err != nil {
		return err
	}
	step := shop.Step{At: at, What: string(shop.Made), State: shop.Promised, Line: l.Number, Transfers: drawn + fresh, Drawn: drawn, Cost: cost, Note: m.Note, Deeds: n.deeds}
	j, err := b.job(ctx, tx, m.Job)
	if err != nil {
		return err
	}
	event, err := b.brushed(ctx, tx, at, j, l, d, fresh, n.note())
	if err != nil {
		return err
	}
	if j.Whole() {
		j.State, step.State = shop.Made, shop.Made
	}
	id, err := setState(ctx, tx, m.Job, step)
	if err != nil {
		return err
	}
	if event != 0 {
		if _, err := tx.ExecContext(ctx, `INSERT INTO step_templates (step, event) VALUES (?, ?)`, id, event); err != nil {
			return err
		}
	}
	return endIfNobodyWaits(ctx, tx, at, j)
}

// Waste implements shop.Jobs.
func (b *Book) Waste(ctx context.Context, at time.Time, w shop.Wasting) (shop.Job, error) {
	w, err := w.Check()
	if err != nil {
		return shop.Job{}, err
	}
	return b.onJob(ctx, w.Job, func(tx *sql.Tx, j shop.Job) error {
		if j.State != shop.Promised && j.State != shop.Made {
			return fault.New("job-move", "", "job %d is %s: stones are spoiled while it is made; book others with brushfall stock spoil", j.ID, j.State).
				OnPage("job %d is %s: stones are spoiled while it is made; book others under Stock", j.ID, j.State)
		}
		if w.Line == 0 && len(j.Lines) == 1 {
			w.Line = j.Lines[0].Number
		}
		l, err := j.Line(w.Line)
		if err != nil {
			return err
		}
		p, err := b.planner(ctx, tx)
		if err != nil {
			return err
		}
		d, err := p.design(ctx, l.Design)
		if err != nil {
			return err
		}
		// Nothing is pressed yet, and no template cut for it: stones and tape alone.
		spoiled := shop.Line{Design: l.Design, Quantity: w.Transfers, Destination: shop.ToShelf}
		n := newBench(tx, at, w.Place, w.Job, shop.Spoiled)
		if err := n.take(ctx, append(spoiled.Needs(d, 0, w.Transfers, false, false, p.usual), w.Stones...)); err != nil {
			return err
		}
		_, err = addStep(ctx, tx, j.ID, shop.Step{At: at, What: shop.StepWasted, State: j.State, Line: l.Number, Transfers: w.Transfers, Cost: n.sum(), Note: w.Note, Deeds: n.deeds})
		return err
	})
}
