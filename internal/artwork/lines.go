package artwork

import (
	"slices"

	"github.com/tidwall/rtree"

	"brushfall/internal/geom"
)

// onEdge is how near to an outline, in mm, a line counts as lying on it: ten steps
// of the grid that shapes are rounded to.
const onEdge = 1e-4

// shortest is the length in mm under which a piece of a cut line is dropped: no
// stone is set on it.
const shortest = 1e-3

// CutLines gives the parts of the lines that lie in the area, or those outside it.
// Parts along the area's outline, within 0.0001 mm, are kept either way. A closed
// line that is cut opens. The order and the direction of the lines stay.
func CutLines(lines []geom.Line, area geom.Shape, inside bool) []geom.Line {
	if area.Empty() {
		if inside {
			return nil
		}
		return lines
	}
	c := newCutter(area)
	var out []geom.Line
	for _, l := range lines {
		if !geom.Bounds(l).Overlaps(c.bounds) {
			if !inside {
				out = append(out, l)
			}
			continue
		}
		out = append(out, c.cut(l, inside)...)
	}
	return out
}

// cutter finds where lines meet the outline of an area.
type cutter struct {
	bounds   geom.Box
	edges    rtree.RTreeG[[2]geom.Point]
	boundary *geom.Boundary
}

func newCutter(area geom.Shape) *cutter {
	c := &cutter{bounds: area.Bounds(), boundary: geom.NewBoundary(area)}
	for _, r := range area.Rings {
		for i, p := range r {
			q := r[(i+1)%len(r)]
			b := geom.Bounds([]geom.Point{p, q})
			c.edges.Insert([2]float64{b.MinX, b.MinY}, [2]float64{b.MaxX, b.MaxY}, [2]geom.Point{p, q})
		}
	}
	return c
}

// cut takes one line apart at the outline and joins the pieces that stay.
func (c *cutter) cut(l geom.Line, inside bool) []geom.Line {
	var out []geom.Line
	var run geom.Line
	end := func() {
		if len(run) > 1 && run.Length() > shortest {
			out = append(out, run)
		}
		run = nil
	}
	for i := 1; i < len(l); i++ {
		at := c.crossings(l[i-1], l[i])
		for k := 1; k < len(at); k++ {
			from, to := l[i-1].Lerp(l[i], at[k-1]), l[i-1].Lerp(l[i], at[k])
			if at[k] == 1 {
				to = l[i]
			}
			if !c.keeps(from.Lerp(to, 0.5), inside) {
				end()
				continue
			}
			if len(run) == 0 {
				run = append(run, from)
			}
			if to != run[len(run)-1] {
				run = append(run, to)
			}
		}
	}
	end()
	return out
}

func (c *cutter) keeps(p geom.Point, inside bool) bool {
	return c.boundary.Inside(p) == inside || c.boundary.Within(p, onEdge)
}

// crossings gives the places from 0 to 1 on a segment where it meets the outline,
// in order, with both ends.
func (c *cutter) crossings(a, b geom.Point) []float64 {
	at := []float64{0, 1}
	box := geom.Bounds([]geom.Point{a, b}).Grow(onEdge)
	c.edges.Search([2]float64{box.MinX, box.MinY}, [2]float64{box.MaxX, box.MaxY}, func(_, _ [2]float64, e [2]geom.Point) bool {
		d, f := b.Sub(a), e[1].Sub(e[0])
		if cross := d.Cross(f); cross != 0 {
			t := e[0].Sub(a).Cross(f) / cross
			u := e[0].Sub(a).Cross(d) / cross
			if 0 < t && t < 1 && -slack <= u && u <= 1+slack {
				at = append(at, t)
			}
			return true
		}
		for _, p := range e { // parallel: where the edge begins and ends alongside
			if t := p.Sub(a).Dot(d) / d.Len2(); 0 < t && t < 1 && a.Lerp(b, t).Dist(p) < onEdge {
				at = append(at, t)
			}
		}
		return true
	})
	slices.Sort(at)
	return slices.Compact(at)
}

// slack widens an edge, as a share of its length, so that a line through a corner
// meets one of its two edges in spite of rounding.
const slack = 1e-9
