package layout

import (
	"math"
	"sort"

	"brushfall/internal/geom"
)

// track is a polyline that stones are set along, with the length up to each
// vertex. A closed track repeats its first point at the end.
type track struct {
	points []geom.Point
	length []float64 // length[i]: along the track up to points[i]
}

// newTrack drops repeated points; closed joins the last point to the first.
func newTrack(points []geom.Point, closed bool) track {
	t := track{points: make([]geom.Point, 0, len(points)+1), length: make([]float64, 0, len(points)+1)}
	add := func(p geom.Point) {
		if n := len(t.points); n > 0 {
			d := t.points[n-1].Dist(p)
			if d == 0 {
				return
			}
			t.length = append(t.length, t.length[n-1]+d)
		} else {
			t.length = append(t.length, 0)
		}
		t.points = append(t.points, p)
	}
	for _, p := range points {
		add(p)
	}
	if closed && len(points) > 0 {
		add(points[0])
	}
	return t
}

// total gives the length of the track, 0 for an empty one.
func (t track) total() float64 {
	if len(t.length) == 0 {
		return 0
	}
	return t.length[len(t.length)-1]
}

// segment gives the index i of the segment points[i]–points[i+1] that holds s.
func (t track) segment(s float64) int {
	i := sort.SearchFloat64s(t.length, s) - 1
	return max(0, min(i, len(t.points)-2))
}

// at gives the point at length s, held within the track's ends.
func (t track) at(s float64) geom.Point {
	if len(t.points) == 1 {
		return t.points[0]
	}
	i := t.segment(s)
	span := t.length[i+1] - t.length[i]
	u := math.Max(0, math.Min(1, (s-t.length[i])/span))
	return t.points[i].Lerp(t.points[i+1], u)
}

// loopAt gives the point at s of a closed track, s taken modulo its length.
func (t track) loopAt(s float64) geom.Point { return t.at(wrap(s, t.total())) }

// loopEnd gives the point at s, which on a closed track may run past its end.
func (t track) loopEnd(s float64) geom.Point {
	if s <= t.total() {
		return t.at(s)
	}
	return t.loopAt(s)
}

// heading gives the unit direction of travel at s.
func (t track) heading(s float64) geom.Point {
	i := t.segment(s)
	return t.points[i+1].Sub(t.points[i]).Unit()
}

// cut gives the part of the track between two lengths, s0 < s1. On a closed
// track s1 may run past the end, up to one turn further.
func (t track) cut(s0, s1 float64) track {
	total := t.total()
	var pts []geom.Point
	for turn := 0.0; turn <= 1; turn++ {
		base := turn * total
		from := sort.SearchFloat64s(t.length, s0-base)
		if turn == 0 {
			room := max(0, sort.SearchFloat64s(t.length, s1)-from) + max(0, sort.SearchFloat64s(t.length, s1-total))
			pts = append(make([]geom.Point, 0, room+2), t.loopAt(s0))
		}
		for i := from; i < len(t.points) && t.length[i]+base < s1; i++ {
			if t.length[i]+base > s0 {
				pts = append(pts, t.points[i])
			}
		}
	}
	return newTrack(append(pts, t.loopEnd(s1)), false)
}

// step gives the first place past s whose distance from here is c, or false
// when the rest of the track stays nearer.
func (t track) step(here geom.Point, s, c float64) (float64, bool) {
	c2 := c * c
	for i := t.segment(s); i+1 < len(t.points); i++ {
		b := t.points[i+1]
		if b.Dist2(here) < c2 {
			continue
		}
		a, from := t.points[i], 0.0
		span := t.length[i+1] - t.length[i]
		if t.length[i] < s {
			from = (s - t.length[i]) / span
		}
		d, f := b.Sub(a), a.Sub(here)
		qa, qb, qc := d.Len2(), f.Dot(d), f.Len2()-c2
		disc := qb*qb - qa*qc
		if disc < 0 {
			continue
		}
		u := (-qb + math.Sqrt(disc)) / qa
		if u < from {
			continue
		}
		return t.length[i] + math.Min(u, 1)*span, true
	}
	return 0, false
}

// nearest gives the place of the track nearest to a point, and how far that is.
func (t track) nearest(p geom.Point) (s, dist float64) {
	dist = math.Inf(1)
	for i := 0; i+1 < len(t.points); i++ {
		a, d := t.points[i], t.points[i+1].Sub(t.points[i])
		u := math.Max(0, math.Min(1, p.Sub(a).Dot(d)/d.Len2()))
		if far := p.Dist(a.Add(d.Mul(u))); far < dist {
			s, dist = t.length[i]+u*(t.length[i+1]-t.length[i]), far
		}
	}
	return s, dist
}

// wrap takes s modulo total into [0, total).
func wrap(s, total float64) float64 {
	s = math.Mod(s, total)
	if s < 0 {
		s += total
	}
	return s
}
