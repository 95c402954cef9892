package shop

import (
	"cmp"
	"math"
	"slices"

	"brushfall/internal/catalogue"
)

// Brushing is whether a template can be brushed with the stones that are free.
// Transfers is for how many they suffice, with the substitutes if there are any.
// Missing is what is short for those that were asked for; Swaps are the colours
// that other stones of the same size stand in for.
type Brushing struct {
	Template  TemplateSet
	Transfers int
	Missing   []Want
	Swaps     []Swap
}

// Can says that nothing is missing.
func (b Brushing) Can() bool { return len(b.Missing) == 0 }

// Short gives the pieces that are missing.
func (b Brushing) Short() int {
	n := 0
	for _, w := range b.Missing {
		n += w.Pieces
	}
	return n
}

// Swap is one kind that stands in for another of the same size. Apart is how far
// their colours are from each other on the screen, CIEDE2000 times a hundred: below
// 10 they are alike, above 30 another colour (common practice).
type Swap struct {
	For, By Kind
	Apart   float64
}

// BrushQuestion asks what so many transfers can be brushed with. Swap lets other
// colours of the same size stand in. Least is the share of the stones, 0 to 1, that
// must be there for a template to be told of; Most is how many are told, 0: all.
type BrushQuestion struct {
	Transfers int
	Swap      bool
	Least     float64
	Most      int
	// Stones are what colours are compared by.
	Stones catalogue.Stones
}

// Brushable says for each template that is not gone whether so many transfers can
// be brushed, with the spare stones counted in. free is what is on hand and not
// promised. A kind that is short may be stood in for by another colour of its size
// that the design does not have, and no two by the same; the nearest colours are
// taken. First those that can be, then by what is missing; among equals the order stays.
func Brushable(templates []TemplateSet, free map[Kind]int, q BrushQuestion) []Brushing {
	var tried []trial
	shelf := newShelf(free, q.Stones)
	for i := range templates {
		if templates[i].Condition == Gone {
			continue
		}
		if t := shelf.try(&templates[i], q); t.short <= t.mayLack {
			tried = append(tried, t)
		}
	}
	slices.SortStableFunc(tried, func(a, b trial) int {
		return cmp.Or(cmp.Compare(a.short, b.short), cmp.Compare(len(a.swaps), len(b.swaps)))
	})
	if q.Most > 0 {
		tried = tried[:min(len(tried), q.Most)]
	}
	var out []Brushing
	for _, t := range tried {
		out = append(out, shelf.brushing(t, q.Transfers))
	}
	return out
}

// trial is what is short of a template with its substitutes, and how many pieces may
// be: the little that is kept of every template until the best are picked.
type trial struct {
	template       *TemplateSet
	short, mayLack int
	swaps          []Swap
}

// try looks for substitutes only where they can bring a template among those that are told.
func (s *shelf) try(t *TemplateSet, q BrushQuestion) trial {
	out := trial{template: t}
	wanted := 0
	for _, p := range t.Kinds {
		need := p.Take * q.Transfers
		wanted += need
		out.short += max(0, need-max(0, s.free[p.Kind]))
	}
	out.mayLack = int(math.Floor((1 - q.Least) * float64(wanted)))
	if !q.Swap || out.short == 0 {
		return out
	}
	var lacking int
	if out.swaps, lacking = s.swaps(t, q.Transfers, out.mayLack); lacking > out.mayLack {
		out.short = lacking
		return out
	}
	for _, w := range out.swaps {
		i := slices.IndexFunc(t.Kinds, func(p Stones) bool { return p.Kind == w.For })
		out.short -= t.Kinds[i].Take*q.Transfers - max(0, s.free[w.For])
	}
	return out
}

// brushing tells of a template that was tried.
func (s *shelf) brushing(t trial, transfers int) Brushing {
	b := Brushing{Template: *t.template, Transfers: math.MaxInt, Swaps: t.swaps}
	for _, p := range t.template.Kinds {
		use := p.Kind
		if i := slices.IndexFunc(t.swaps, func(w Swap) bool { return w.For == p.Kind }); i >= 0 {
			use = t.swaps[i].By
		}
		has := max(0, s.free[use])
		b.Transfers = min(b.Transfers, has/max(1, p.Take))
		if short := p.Take*transfers - has; short > 0 {
			b.Missing = append(b.Missing, Want{p.Kind, short})
		}
	}
	return b
}
