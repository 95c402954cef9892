package cut

import (
	"cmp"
	"math"
	"slices"

	"brushfall/internal/geom"
)

// touch is how near two frames' edges are one, in mm: far below what a blade can
// tell apart, above the rounding of where plates are placed.
const touch = 0.01

// shareEdges leaves out of each frame what a later plate's frame cuts too. So a
// common edge is cut once, and a piece comes free only when all is done that
// lies beside it.
func shareEdges(plates []SheetPlate) {
	for i := range plates {
		var later []segment
		box := geom.Bounds(plates[i].Frame).Grow(touch)
		for _, p := range plates[i+1:] {
			if box.Overlaps(geom.Bounds(p.Frame)) {
				later = append(later, segments(p.Frame)...)
			}
		}
		p := &plates[i]
		p.Left, p.Shared = leave(p.Frame, later)
	}
}

// segment is a straight piece of a frame.
type segment struct{ a, b geom.Point }

func segments(r geom.Ring) []segment {
	out := make([]segment, len(r))
	for i, a := range r {
		out[i] = segment{a, r[(i+1)%len(r)]}
	}
	return out
}

// leave gives the parts of the ring that no segment covers, joined to lines, and
// whether anything was covered.
func leave(r geom.Ring, cover []segment) ([]geom.Line, bool) {
	var left []geom.Line
	shared := false
	for _, s := range segments(r) {
		covered := s.coveredBy(cover)
		shared = shared || len(covered) > 0
		for _, part := range s.without(covered) {
			last := len(left) - 1
			if last >= 0 && left[last][len(left[last])-1].Dist(part.a) < touch {
				left[last] = append(left[last], part.b)
				continue
			}
			left = append(left, geom.Line{part.a, part.b})
		}
	}
	if !shared {
		return nil, false
	}
	// The ring's start is no end if both its sides are left.
	if n := len(left); n > 1 && left[n-1][len(left[n-1])-1].Dist(left[0][0]) < touch {
		left[0] = append(left[n-1], left[0][1:]...)
		left = left[:n-1]
	}
	return left, true
}

// span is a part of a segment, in mm from its start.
type span struct{ from, to float64 }

// coveredBy gives the parts of s that others lie upon.
func (s segment) coveredBy(others []segment) []span {
	length, along := s.a.Dist(s.b), s.b.Sub(s.a).Unit()
	var out []span
	for _, o := range others {
		off := math.Max(math.Abs(along.Cross(o.a.Sub(s.a))), math.Abs(along.Cross(o.b.Sub(s.a))))
		if off > touch {
			continue
		}
		from, to := along.Dot(o.a.Sub(s.a)), along.Dot(o.b.Sub(s.a))
		c := span{math.Max(math.Min(from, to), 0), math.Min(math.Max(from, to), length)}
		if c.to-c.from > touch {
			out = append(out, c)
		}
	}
	slices.SortFunc(out, func(a, b span) int { return cmp.Compare(a.from, b.from) })
	return out
}

// without gives what is left of s outside the covered parts, which are sorted.
func (s segment) without(covered []span) []segment {
	length := s.a.Dist(s.b)
	var out []segment
	at := 0.0
	for _, c := range append(covered, span{length, length}) {
		if c.from-at > touch {
			out = append(out, segment{s.a.Lerp(s.b, at/length), s.a.Lerp(s.b, math.Min(c.from, length)/length)})
		}
		at = math.Max(at, c.to)
	}
	return out
}
