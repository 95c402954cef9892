package layout

import (
	"math"

	"brushfall/internal/geom"
)

// comesNear says whether a region comes nearer than d to a path, covers it, or
// lies in it; it may also say so of one a quarter farther away. Asking costs far
// less than taking the room away does, and most regions whose boxes overlap are
// not near each other.
func (r Region) comesNear(path geom.Shape, d float64) bool {
	near := d * (1 + nearStep/2)
	box := path.Bounds().Grow(near)
	outlines := geom.NewLineBoundary(r.sidesIn(box))
	for _, ring := range path.Rings {
		if covers(r.Shape, ring[0]) {
			return true
		}
		for i, p := range ring {
			q := ring[(i+1)%len(ring)]
			n := int(math.Ceil(p.Dist(q) / (nearStep * d)))
			for k := range n {
				if outlines.Within(p.Lerp(q, float64(k)/float64(n)), near) {
					return true
				}
			}
		}
	}
	for _, ring := range r.Shape.Rings {
		if covers(path, ring[0]) {
			return true
		}
	}
	for _, l := range r.Lines {
		if covers(path, l[0]) {
			return true
		}
	}
	return false
}

// covers says whether a point lies in an area, by the sides to its right: for a
// question or two this is quicker than an index.
func covers(s geom.Shape, p geom.Point) bool {
	in := false
	for _, ring := range s.Rings {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
				in = !in
			}
		}
	}
	return in
}

// nearStep is the spacing of the places of a path that are asked, as a share of
// the distance: what is nearer than d to the path is nearer than that and half a
// step to one of them.
const nearStep = 0.5

// sidesIn gives the sides of a region's outline, and the pieces of its lines,
// whose boxes overlap a box.
func (r Region) sidesIn(box geom.Box) []geom.Line {
	var out []geom.Line
	add := func(p, q geom.Point) {
		if geom.Bounds([]geom.Point{p, q}).Overlaps(box) {
			out = append(out, geom.Line{p, q})
		}
	}
	for _, ring := range r.Shape.Rings {
		for i, p := range ring {
			add(p, ring[(i+1)%len(ring)])
		}
	}
	for _, l := range r.Lines {
		for i := 1; i < len(l); i++ {
			add(l[i-1], l[i])
		}
	}
	return out
}
