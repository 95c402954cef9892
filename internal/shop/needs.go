package shop

import (
	"slices"

	"brushfall/internal/catalogue"
)

// Needs gives what a line takes of the stock for so many more transfers, drawn ones
// from the shelf and fresh ones, with the spare stones or without. cut says that a
// template is cut for it. What the shop has no usual goods of is left out.
func (l Line) Needs(d Design, drawn, fresh int, cut, spare bool, usual Usual) []Want {
	var out []Want
	add := func(k Kind, pieces int) {
		if pieces > 0 && k.Colour != "" {
			out = append(out, Want{k, pieces})
		}
	}
	add(TransferOf(l.Design), drawn)
	for _, s := range d.Stones {
		if spare {
			add(s.Kind, s.Take*fresh)
		} else {
			add(s.Kind, s.Pieces*fresh)
		}
	}
	// Pieces of a sheet that was begun are there: what counts are the sheets of all.
	more := func(c Cover) int { return c.For(l.Anew()+fresh) - c.For(l.Anew()) }
	if cut && fresh > 0 {
		add(Kind{catalogue.Flock, usual[catalogue.Flock]}, d.Flock)
	}
	add(Kind{catalogue.Tape, usual[catalogue.Tape]}, more(d.Tape))
	if l.Destination == ToDecal {
		add(Kind{catalogue.Film, usual[catalogue.Film]}, more(d.Film))
	}
	add(Kind{catalogue.Blank, l.Blank}, drawn+fresh)
	return out
}

// Reserves gives what a promised line still takes, spare stones included.
func (l Line) Reserves(d Design, cut bool, usual Usual) []Want {
	return l.Needs(d, l.FromShelf(), l.ToMake(), cut, true, usual)
}

// PromisedLine is a line of a promised job.
type PromisedLine struct {
	Job int64
	Line
}

// Cuts says whether a template is cut when transfers of the line are made anew: a line
// that wants its own cuts it once, another where the design has none yet.
func (l Line) Cuts(has bool) bool {
	switch l.Template {
	case Anew:
		return l.Anew() == 0
	case AsNeeded:
		return !has
	}
	return false
}

// Cutters gives which of the promised lines of one design reserve the flock for a
// template: those that cut one, in the order of their jobs. Whichever is made first
// uses it.
func Cutters(lines []PromisedLine, has bool) []PromisedLine {
	var out []PromisedLine
	for _, l := range lines {
		if l.ToMake() > 0 && l.Cuts(has) {
			out, has = append(out, l), true
		}
	}
	return out
}

// Shortage is what open jobs take of a kind beside what is there. Jobs are those that
// take it, by number; Gone is how many are for transfers that were to come from the
// shelf and are not there any more.
type Shortage struct {
	Kind     Kind
	OnHand   int
	Reserved int
	Gone     int
	Jobs     []int64
}

// Free gives what is there beyond what is taken; below 0 what is short.
func (s Shortage) Free() int { return s.OnHand - s.Reserved - s.Gone }

// Shortages puts what is reserved beside what is there. Transfers that are missing on
// the shelf have to be made after all: their stones and tape are added to the rest,
// as Gone. designs has those of reserved transfers.
func Shortages(reserved []Shortage, onHand map[Kind]int, designs map[int64]Design, usual Usual) []Shortage {
	out := slices.Clone(reserved)
	find := func(k Kind) *Shortage {
		i := slices.IndexFunc(out, func(s Shortage) bool { return s.Kind == k })
		if i < 0 {
			out = append(out, Shortage{Kind: k})
			i = len(out) - 1
		}
		return &out[i]
	}
	for _, s := range reserved {
		id, ok := s.Kind.Design()
		missing := s.Reserved - onHand[s.Kind]
		if !ok || missing <= 0 {
			continue
		}
		anew := Line{Design: id, Quantity: missing, Destination: ToShelf}
		for _, w := range anew.Needs(designs[id], 0, missing, false, true, usual) {
			n := find(w.Kind)
			n.Gone += w.Pieces
			n.Jobs = append(n.Jobs, s.Jobs...)
		}
	}
	for i := range out {
		out[i].OnHand = onHand[out[i].Kind]
		slices.Sort(out[i].Jobs)
		out[i].Jobs = slices.Compact(out[i].Jobs)
	}
	slices.SortFunc(out, func(a, b Shortage) int { return CompareKinds(a.Kind, b.Kind) })
	return out
}

// Wants gives what is to be bought for: all but transfers, which are made.
func Wants(shortages []Shortage) []Want {
	var out []Want
	for _, s := range shortages {
		if _, made := s.Kind.Design(); !made {
			out = append(out, Want{s.Kind, s.Reserved + s.Gone})
		}
	}
	return out
}
