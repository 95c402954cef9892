package geom

import "math"

const (
	// mostTangles is the number of crossing spikes above which an inset is not made in
	// one go: as many are noded in about a tenth of a second.
	mostTangles = 4000
	// mostHalvings bounds the steps, to 2⁴: their rounding stays under 2e-4 mm.
	mostHalvings = 4
	// thinShare is the part of the chord error that thinning uses up.
	thinShare = 0.25
	// mostThinned bounds the points that one chord replaces, and so the work.
	mostThinned = 100
	// mostProbes bounds the search for a deep place; its answer only saves work.
	mostProbes = 2000
)

// insetInSteps insets by d > 0. Where the raw offset would tangle, it leaves out the
// parts that are nowhere that deep, thins the points out, and goes half the way twice: what is
// d/2 inside of what is d/2 inside lies d inside. The first step takes off the bends
// tighter than it, so that few spikes are left to the second. All errors lie on the
// side that makes the result smaller, and share tol. step makes one step.
func insetInSteps(s Shape, d, tol float64, halvings int, step func(s Shape, d, tol float64) Shape) Shape {
	if tangles(s, d) <= mostTangles {
		return step(s, d, tol)
	}
	if s = reaching(s, d); tangles(s, d) <= mostTangles {
		return step(s, d, tol)
	}
	s = thinned(s, tol*thinShare)
	tol -= tol * thinShare
	if halvings == 0 || tangles(s, d) <= mostTangles {
		return step(s, d, tol)
	}
	if !reaches(s, d) {
		return Shape{}
	}
	half := insetInSteps(s, d/2, tol/2, halvings-1, step)
	return insetInSteps(half, d/2, tol/2, halvings-1, step)
}

// reaching leaves out parts of a shape that have no point d from their outline or
// more. They would vanish, but only after all their spikes are noded: a thousand dots
// narrower than 2d have millions of crossings.
func reaching(s Shape, d float64) Shape {
	parts := s.Components()
	if len(parts) < 2 {
		return s
	}
	var out Shape
	for _, part := range parts {
		box := part.Bounds()
		if 2*d <= min(box.Width(), box.Height()) && (tangles(part, d) == 0 || reaches(part, d)) {
			out.Rings = append(out.Rings, part.Rings...)
		}
	}
	return out
}

// tangles estimates how many pairs of spikes of the raw offset cross. A corner whose
// offset edges overlap and cannot be cut short becomes a spike of length d, and
// crosses most of those that start within as much along the ring: where a smooth
// outline bends tighter than d, every one of its points has one.
func tangles(s Shape, d float64) int {
	n := 0
	for _, r := range s.Rings {
		var spikes []float64 // where they start along the ring, in mm
		way := 0.0
		for _, c := range corners(r, d) {
			if c.overlaps && !c.short(d) {
				spikes = append(spikes, way)
			}
			way += c.after
		}
		first := 0
		for i, at := range spikes {
			for spikes[first] < at-d {
				first++
			}
			n += i - first
		}
	}
	return n
}

// thinned leaves out points where the outline bends round the area, none farther
// than tol from the chord in its place: the area only loses slips along its outline.
// Rings may come to cross where they ran nearer than that; a point in no ring or out
// of more than in has no positive winding number, so that an inset stays right.
func thinned(s Shape, tol float64) Shape {
	out := Shape{Rings: make([]Ring, len(s.Rings))}
	for i, r := range s.Rings {
		var kept Ring
		for k := 0; k < len(r); {
			kept = append(kept, r[k])
			k += r.chordFrom(k, tol)
		}
		if len(kept) < 3 {
			kept = r
		}
		out.Rings[i] = kept
	}
	return out
}

// chordFrom gives how many points on from k the ring may be cut straight to, at
// least 1 and never past its start.
func (r Ring) chordFrom(k int, tol float64) int {
	at := func(i int) Point { return r[(k+i)%len(r)] }
	first := at(1).Sub(at(0))
	n := 1
	for n < mostThinned && k+n < len(r) {
		in, out := at(n).Sub(at(n-1)), at(n+1).Sub(at(n))
		// Round the area all the way, and by less than a quarter turn.
		if in.Cross(out) < 0 || in.Dot(out) <= 0 || first.Cross(out) < 0 || first.Dot(out) <= 0 {
			return n
		}
		chord := side{a: at(0), b: at(n + 1)}
		for i := 1; i <= n; i++ {
			if chord.dist2(at(i)) > tol*tol {
				return n
			}
		}
		n++
	}
	return n
}

// reaches says false if no point of the shape is d from its outline or more, by
// quartering squares as long as one may hold such a point: no depth differs from that
// of the middle by more than the way there.
func reaches(s Shape, d float64) bool {
	type square struct {
		middle Point
		half   float64
	}
	b, box := NewBoundary(s), s.Bounds()
	open := []square{{
		Point{(box.MinX + box.MaxX) / 2, (box.MinY + box.MaxY) / 2},
		max(box.Width(), box.Height()) / 2,
	}}
	for probes := 0; len(open) > 0; probes++ {
		q := open[len(open)-1]
		open = open[:len(open)-1]
		depth := b.Depth(q.middle)
		if depth >= d || probes == mostProbes {
			return true
		}
		if depth+q.half*math.Sqrt2 < d {
			continue
		}
		h := q.half / 2
		for _, to := range [4]Point{{-h, -h}, {h, -h}, {-h, h}, {h, h}} {
			open = append(open, square{q.middle.Add(to), h})
		}
	}
	return false
}
