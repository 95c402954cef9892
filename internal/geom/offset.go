package geom

import "math"

const (
	// finestArc is the least chord error used for an arc, in mm: ten steps of the
	// grid that the points are rounded to.
	finestArc = 1e-4
	// arcShare is the part of the chord error that arcs use up: all of it lies on the
	// same side, and small results would lose a third of a percent of their area.
	arcShare = 0.5
	// insetSlack is how much nearer to the outline than asked a point of an inset may
	// lie before the slower, certain way is taken, in mm; rounding takes 1e-5.
	insetSlack = 2e-3
)

// Inset gives all points at least d (mm) inside the outline; d below zero grows the
// shape by round joins. tol (mm) is the chord error of the arcs, which lie on the
// side that makes the result smaller, so that no point comes nearer to the outline
// than d (or farther than −d), save for 1e-5 mm of rounding (up to 2e-4 mm where an
// inset takes several steps, as those of smooth outlines near their inradius do). The
// shape must be normalised. Parts that are just 2d wide vanish. A d that is no number gives the
// empty shape.
//
// Method: the raw offset of each ring, with an arc where the offset edges part and
// a way over the corner itself where they overlap; its winding number at a point is
// then that of the shape less the number of edge strips and corner sectors that hold
// it (Chen and McMains, "Polygon offsetting by computing winding numbers", 2005).
func Inset(s Shape, d, tol float64) Shape {
	if d == 0 {
		return s
	}
	if !(math.Abs(d) <= farthest) {
		return Shape{}
	}
	if box := s.Bounds(); d > 0 && 2*d > min(box.Width(), box.Height()) {
		return Shape{}
	}
	if !(tol > finestArc) {
		tol = finestArc
	}
	out := insetQuickly(s, d, tol)
	if !insetHolds(s, out, d, tol) {
		return insetByStroke(s, d, tol)
	}
	return out
}

// insetQuickly is the quick way, in steps where an inset in one would be none.
func insetQuickly(s Shape, d, tol float64) Shape {
	if d < 0 {
		return insetByWinding(s, d, tol)
	}
	return insetInSteps(s, d, tol, mostHalvings, insetByWinding)
}

// insetByWinding insets in one step, by the winding numbers of the raw offsets.
func insetByWinding(s Shape, d, tol float64) Shape {
	arc := max(tol*arcShare, finestArc)
	raw := make([]Ring, 0, len(s.Rings))
	for _, r := range s.Rings {
		if o := rawOffset(r, d, arc); o != nil {
			raw = append(raw, o)
		}
	}
	return fillPositive(raw)
}

// corner is a place where an outline turns.
type corner struct {
	at       Point
	in, out  Point   // unit vectors of the edges before and after
	before   float64 // their lengths
	after    float64
	turn     float64 // signed angle from in to out, positive towards Perp
	overlaps bool    // the offset edges overlap, else they part
}

// corners gives the turns of a ring without its repeated points.
func corners(r Ring, d float64) []corner {
	var points Ring
	for i, p := range r {
		if p != r[(i+1)%len(r)] {
			points = append(points, p)
		}
	}
	out := make([]corner, len(points))
	for i, p := range points {
		before := p.Sub(points[(i+len(points)-1)%len(points)])
		after := points[(i+1)%len(points)].Sub(p)
		c := corner{at: p, in: before.Unit(), out: after.Unit(), before: before.Len(), after: after.Len()}
		c.turn = math.Atan2(c.in.Cross(c.out), c.in.Dot(c.out))
		c.overlaps = c.turn*d > 0 && math.Abs(c.turn) < math.Pi-1e-9
		out[i] = c
	}
	return out
}

// short says whether the corner where the offset edges overlap may be replaced by
// the point where they cross: the piece cut off must lie in the strips of both edges.
func (c *corner) short(d float64) bool {
	return math.Abs(c.turn) < math.Pi/2 && math.Abs(d*math.Sin(c.turn)) <= min(c.before, c.after)
}

// rawOffset moves every edge by d towards Perp and joins them up again; nil if the
// ring has fewer than three places.
func rawOffset(r Ring, d, tol float64) Ring {
	turns := corners(r, d)
	if len(turns) < 3 {
		return nil
	}
	// One corner at least must not be cut short: the strips must outnumber the cut
	// pieces, or a ring that offsets through itself would count as area.
	allShort := true
	for i := range turns {
		allShort = allShort && (turns[i].turn == 0 || turns[i].overlaps && turns[i].short(d))
	}
	out := make(Ring, 0, 2*len(turns))
	for i := range turns {
		c := &turns[i]
		switch {
		case c.turn == 0:
			out = append(out, c.at.Add(c.in.Perp().Mul(d)))
		case c.overlaps && c.short(d) && !allShort:
			n, m := c.in.Perp(), c.out.Perp()
			out = append(out, c.at.Add(n.Add(m).Mul(d/(1+n.Dot(m)))))
		case c.overlaps:
			out = append(out, c.at.Add(c.in.Perp().Mul(d)), c.at, c.at.Add(c.out.Perp().Mul(d)))
			allShort = false
		default:
			out = c.appendArc(out, d, tol)
		}
	}
	return out
}

// appendArc leads the offset round the corner: outside the arc for an inset, whose
// points must not come nearer, inside it for a growth.
func (c *corner) appendArc(out Ring, d, tol float64) Ring {
	n := c.in.Perp().Mul(d)
	start := math.Atan2(n.Y, n.X)
	if d < 0 {
		out = append(out, c.at.Add(n))
		return FlattenArc(out, c.at, -d, -d, 0, start, c.turn, tol)
	}
	// Tangents of the arc cross at r/cos(s/2) for a step s: tol outside it.
	k := arcPieces(d+tol, c.turn, tol)
	step := c.turn / float64(k)
	far := d / math.Cos(step/2)
	for i := range k {
		sin, cos := math.Sincos(start + (float64(i)+0.5)*step)
		out = append(out, Point{c.at.X + far*cos, c.at.Y + far*sin})
	}
	return out
}

// insetHolds checks every point and edge middle of a result by the exact distance to
// the outline it was made from.
func insetHolds(s, result Shape, d, tol float64) bool {
	if result.Empty() {
		return true
	}
	b := NewBoundary(s)
	for _, r := range result.Rings {
		for i, p := range r {
			q := p.Lerp(r[(i+1)%len(r)], 0.5)
			if depth := b.Depth(p); depth < d-insetSlack || d < 0 && depth > d+insetSlack+tol {
				return false
			}
			if b.Depth(q) < d-insetSlack {
				return false
			}
		}
	}
	return true
}

// insetByStroke is the certain way: the band within d of the outline is taken off,
// or put on.
func insetByStroke(s Shape, d, tol float64) Shape {
	lines := make([]Line, len(s.Rings))
	closed := make([]bool, len(s.Rings))
	for i, r := range s.Rings {
		lines[i], closed[i] = Line(r), true
	}
	band := Stroke(lines, closed, StrokeStyle{Width: 2 * math.Abs(d), Join: RoundJoin}, tol)
	if d > 0 {
		return Subtract(s, band)
	}
	return Union(s, band)
}
