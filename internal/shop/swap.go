package shop

import (
	"cmp"
	"math"
	"slices"

	"github.com/lucasb-eyer/go-colorful"

	"brushfall/internal/catalogue"
)

// shelf is what is free, by size, with the distances of colours as far as they were
// asked for.
type shelf struct {
	free  map[Kind]int
	sizes map[string][]Kind
	looks catalogue.Stones
	near  map[Kind][]standIn // what could stand in for a kind, the nearest first
}

func newShelf(free map[Kind]int, looks catalogue.Stones) *shelf {
	s := &shelf{free: free, sizes: map[string][]Kind{}, looks: looks, near: map[Kind][]standIn{}}
	for k, n := range free {
		if n > 0 {
			s.sizes[k.Size] = append(s.sizes[k.Size], k)
		}
	}
	return s
}

// standIn is a colour that could stand in for another, and how many of it are free.
type standIn struct {
	Swap
	free int
}

// nearest gives all other colours of a kind's size.
func (s *shelf) nearest(k Kind) []standIn {
	if out, ok := s.near[k]; ok {
		return out
	}
	var out []standIn
	for _, by := range s.sizes[k.Size] {
		if by != k {
			out = append(out, standIn{Swap{k, by, colourApart(s.looks, k.Colour, by.Colour)}, s.free[by]})
		}
	}
	slices.SortFunc(out, func(a, b standIn) int { return cmp.Or(cmp.Compare(a.Apart, b.Apart), CompareKinds(a.By, b.By)) })
	s.near[k] = out
	return out
}

// colourApart gives the distance of two stone colours on the screen by CIEDE2000
// (CIE 142-2001), times a hundred; 100 where one is not among the stones.
func colourApart(stones catalogue.Stones, a, b string) float64 {
	one, err := stones.FindColour(a)
	other, err2 := stones.FindColour(b)
	if err != nil || err2 != nil {
		return 100
	}
	c, err := colorful.Hex(one.Hex)
	d, err2 := colorful.Hex(other.Hex)
	if err != nil || err2 != nil {
		return 100
	}
	return 100 * c.DistanceCIEDE2000(d)
}

// swaps gives substitutes for the kinds that are short, where there are any: of all
// ways to stand in for as many kinds as can be, one whose colours are the least apart
// in sum. Sizes do not touch each other. Where nothing can stand in for more pieces
// than may be lacking, it gives how many those are, and does not search.
func (s *shelf) swaps(t *TemplateSet, transfers, mayLack int) (out []Swap, lacking int) {
	choices := make([][]*standIn, len(t.Kinds))
	for i, p := range t.Kinds {
		need, has := p.Take*transfers, s.free[p.Kind]
		if has >= need {
			continue
		}
		if choices[i] = s.candidates(t, p.Kind, need); len(choices[i]) == 0 {
			if lacking += need - max(0, has); lacking > mayLack {
				return nil, lacking
			}
		}
	}
	for i := 0; i < len(choices); {
		next := i + 1
		for next < len(choices) && t.Kinds[next].Kind.Size == t.Kinds[i].Kind.Size { // kinds are in the order of sizes
			next++
		}
		m := matching{choices: slices.DeleteFunc(choices[i:next], func(c []*standIn) bool { return len(c) == 0 }), apart: math.Inf(1)}
		m.search(0, nil, 0)
		for _, c := range m.best {
			out = append(out, c.Swap)
		}
		i = next
	}
	return out, lacking
}

// nearestSwaps is how many colours are tried for a kind. Of n kinds of one size that
// are short one of the n nearest is always left, so for up to eight nothing is missed.
const nearestSwaps = 8

// candidates gives the nearest colours that there are enough of and that the design
// does not have.
func (s *shelf) candidates(t *TemplateSet, k Kind, need int) []*standIn {
	var out []*standIn
	near := s.nearest(k)
	for i := range near {
		c := &near[i]
		if c.free < need {
			continue
		}
		own := slices.ContainsFunc(t.Kinds, func(p Stones) bool { return p.Kind == c.By })
		if !own {
			if out = append(out, c); len(out) == nearestSwaps {
				break
			}
		}
	}
	return out
}

// matching is a search over substitutes for the kinds of one size that have any, by branch and
// bound: the first way that it tries takes the nearest that is left for each.
type matching struct {
	choices [][]*standIn
	best    []*standIn
	apart   float64
}

func (m *matching) search(at int, chosen []*standIn, apart float64) {
	rest, least := len(m.choices)-at, 0.0
	for _, c := range m.choices[at:] {
		least += c[0].Apart
	}
	if most := len(chosen) + rest; most < len(m.best) || most == len(m.best) && apart+least >= m.apart {
		return
	}
	if at == len(m.choices) {
		m.best, m.apart = slices.Clone(chosen), apart
		return
	}
	for _, c := range m.choices[at] {
		if !slices.ContainsFunc(chosen, func(o *standIn) bool { return o.By == c.By }) {
			m.search(at+1, append(chosen, c), apart+c.Apart)
		}
	}
	m.search(at+1, chosen, apart) // or it stays short
}
