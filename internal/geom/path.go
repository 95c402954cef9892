package geom

import (
	"math"
	"sort"
)

// Path is a line or ring that is walked by arc length, in mm from its first point.
type Path struct {
	points []Point   // a closed path repeats its first point at the end
	at     []float64 // arc length at each point
	closed bool
}

// NewPath makes a path; closed joins the last point to the first. Repeated points
// are harmless. Without points all questions give zero.
func NewPath(points []Point, closed bool) *Path {
	p := &Path{closed: closed && len(points) > 1}
	for i, q := range points {
		if i == 0 || q != p.points[len(p.points)-1] {
			p.points = append(p.points, q)
		}
	}
	if p.closed && p.points[0] != p.points[len(p.points)-1] {
		p.points = append(p.points, p.points[0])
	}
	if len(p.points) == 0 {
		p.points = []Point{{}}
	}
	p.at = make([]float64, len(p.points))
	for i := 1; i < len(p.points); i++ {
		p.at[i] = p.at[i-1] + p.points[i].Dist(p.points[i-1])
	}
	return p
}

// Length gives the whole length.
func (p *Path) Length() float64 { return p.at[len(p.at)-1] }

// locate gives the edge that holds arc length s and the place on it from 0 to 1. A
// closed path goes on round; an open one stops at its ends.
func (p *Path) locate(s float64) (i int, t float64) {
	length := p.Length()
	if length == 0 || math.IsNaN(s) {
		return 0, 0
	}
	if p.closed && (s < 0 || s > length) {
		if s = math.Mod(s, length); s < 0 {
			s += length
		}
	}
	i = sort.Search(len(p.at)-2, func(i int) bool { return p.at[i+1] > s })
	return i, max(0, min(1, (s-p.at[i])/(p.at[i+1]-p.at[i])))
}

// At gives the point at arc length s: round and round for a closed path, else
// stopping at the ends.
func (p *Path) At(s float64) Point {
	if len(p.points) == 1 {
		return p.points[0]
	}
	i, t := p.locate(s)
	return p.points[i].Lerp(p.points[i+1], t)
}

// Tangent gives the unit direction of travel at arc length s, at a corner that after
// it; zero if the path has no length.
func (p *Path) Tangent(s float64) Point {
	if len(p.points) == 1 {
		return Point{}
	}
	i, _ := p.locate(s)
	return p.points[i+1].Sub(p.points[i]).Unit()
}

// Project gives the arc length of the place nearest to q, the first of several, and
// its distance. It tries every edge.
func (p *Path) Project(q Point) (s, dist float64) {
	if len(p.points) == 1 {
		return 0, p.points[0].Dist(q)
	}
	best := math.Inf(1)
	for i := range len(p.points) - 1 {
		e := side{a: p.points[i], b: p.points[i+1]}
		t := e.share(q)
		if d := e.a.Lerp(e.b, t).Dist2(q); d < best {
			best, s = d, p.at[i]+t*(p.at[i+1]-p.at[i])
		}
	}
	return s, math.Sqrt(best)
}

// Between gives the stretch from arc length s to t ≥ s, both within the length, with
// the points between; a stretch without length is one point.
func (p *Path) Between(s, t float64) Line {
	out := Line{p.At(s)}
	for i, at := range p.at {
		if at > s && at < t {
			out = append(out, p.points[i])
		}
	}
	if t > s {
		out = append(out, p.At(t))
	}
	return out
}
