package shop

import (
	"cmp"
	"math"
	"slices"
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
}

// Brushable says for each template that is not gone whether so many transfers can
// be brushed, with the spare stones counted in. free is what is on hand and not
// promised. A kind that is short may be stood in for by another colour of its size
// that the design does not have, and no two by the same; the nearest colours are
// taken. First those that can be, then by what is missing; among equals the order stays.
func Brushable(templates []TemplateSet, free map[Kind]int, q BrushQuestion) []Brushing {
	var out []Brushing
	shelf := newShelf(free)
	for _, t := range templates {
		if t.Condition == Gone {
			continue
		}
		b := Brushing{Template: t}
		use := kindsOf(t)
		if q.Swap && !suffices(t, use, free, q.Transfers) {
			b.Swaps = shelf.swaps(t, q.Transfers)
			for _, s := range b.Swaps {
				use[slices.Index(use, s.For)] = s.By
			}
		}
		wanted := 0
		b.Transfers = math.MaxInt
		for i, p := range t.Kinds {
			has := max(0, free[use[i]])
			wanted += p.Take * q.Transfers
			b.Transfers = min(b.Transfers, has/max(1, p.Take))
			if short := p.Take*q.Transfers - has; short > 0 {
				b.Missing = append(b.Missing, Want{p.Kind, short})
			}
		}
		if float64(b.Short()) <= (1-q.Least)*float64(wanted) {
			out = append(out, b)
		}
	}
	slices.SortStableFunc(out, func(a, b Brushing) int {
		return cmp.Or(cmp.Compare(a.Short(), b.Short()), cmp.Compare(len(a.Swaps), len(b.Swaps)))
	})
	if q.Most > 0 {
		out = out[:min(len(out), q.Most)]
	}
	return out
}

func kindsOf(t TemplateSet) []Kind {
	var out []Kind
	for _, p := range t.Kinds {
		out = append(out, p.Kind)
	}
	return out
}

func suffices(t TemplateSet, use []Kind, free map[Kind]int, transfers int) bool {
	for i, p := range t.Kinds {
		if free[use[i]] < p.Take*transfers {
			return false
		}
	}
	return true
}
