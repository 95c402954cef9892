package layout

import (
	"math"

	"brushfall/internal/design"
	"brushfall/internal/geom"
)

// span is a free stretch of a row of a bed, straight or round: places along it,
// in mm or in radians.
type span struct{ lo, hi float64 }

// without takes the inside of a stretch away from the free ones.
func without(free []span, cut span) []span {
	if len(free) == 0 || cut.hi <= free[0].lo || cut.lo >= free[len(free)-1].hi {
		return free
	}
	out := make([]span, 0, len(free)+1)
	for _, f := range free {
		if cut.hi <= f.lo || cut.lo >= f.hi {
			out = append(out, f)
			continue
		}
		if cut.lo >= f.lo {
			out = append(out, span{f.lo, cut.lo})
		}
		if cut.hi <= f.hi {
			out = append(out, span{cut.hi, f.hi})
		}
	}
	return out
}

// apart shortens stretches that lie nearer to each other than least, both alike,
// so that stones on their ends keep it; around is how far along the first one
// comes again on a round row, +Inf on a straight one.
func apart(free []span, least, around float64) []span {
	n := len(free)
	short := make([]span, n)
	for i, f := range free {
		next := free[(i+1)%n]
		if i == n-1 {
			next.lo += around
		}
		if lack := (least - (next.lo - f.hi)) / 2; lack > 0 {
			short[i].hi += lack
			short[(i+1)%n].lo += lack
		}
	}
	out := make([]span, 0, n)
	for i, f := range free {
		if f = (span{f.lo + short[i].lo, f.hi - short[i].hi}); f.lo <= f.hi {
			out = append(out, f)
		}
	}
	return out
}

// even sets a stretch from end to end with the most stones that keep the least
// step, all steps equal; a stretch shorter than one step gets a stone in its middle.
func (f span) even(least float64, set func(u float64)) {
	n := int((f.hi-f.lo)/least + 1e-9)
	if n == 0 {
		set((f.lo + f.hi) / 2)
		return
	}
	for i := range n + 1 {
		set(f.lo + (f.hi-f.lo)*float64(i)/float64(n))
	}
}

// onColumns sets a stretch on the places a whole number of steps from phase; one
// that holds none gets a stone in its middle.
func (f span) onColumns(phase, step float64, set func(u float64)) {
	first, last := math.Ceil((f.lo-phase)/step), math.Floor((f.hi-phase)/step)
	if last < first {
		set((f.lo + f.hi) / 2)
	}
	for k := first; k <= last; k++ {
		set(phase + k*step)
	}
}

// obstacles lists the stones that a bed keeps clear of.
func (s *site) obstacles() []fixture {
	var out []fixture
	for _, p := range s.pieces {
		if p.role != "" {
			out = append(out, fixture{p.at, s.pitch + slack})
		}
	}
	for _, o := range s.others {
		out = append(out, fixture{o.at, o.reach + slack})
	}
	return out
}

// core gives about the room that the rows leave for the centres of a bed.
func (s *site) core() geom.Shape {
	if len(s.pieces) > 0 {
		if in := s.made.inset(s.path, s.pitch, coreTol); !in.Empty() {
			return in
		}
	}
	return s.allowed
}

// coreTol is the chord error of the core, in mm: it only guides a choice.
const coreTol = 10 * insetTol

// setBedRow sets the places of one row of a bed that are free and records which
// stand in it.
func (s *site) setBedRow(places []geom.Point) {
	var ids []int
	for _, p := range places {
		if p = round(p); s.free(p) {
			ids = append(ids, s.put(p, design.RoleBed))
		}
	}
	s.rows = append(s.rows, ids)
}

// mapsOn says whether every vertex of a shape lies on the outline again after a
// motion: whether the motion is one of its symmetries.
func mapsOn(outline *geom.Boundary, s geom.Shape, motion geom.Affine) bool {
	for _, r := range s.Rings {
		for _, p := range r {
			if !outline.Within(motion.Apply(p), symmetryTol) {
				return false
			}
		}
	}
	return true
}

// symmetryTol is how far from the outline the image of an outline that is called
// symmetric may lie, in mm: a few times the chord error of what is drawn.
const symmetryTol = 0.03
