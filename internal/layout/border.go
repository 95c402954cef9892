package layout

import (
	"math"

	"brushfall/internal/geom"
)

// border is the edge of the set of allowed centres, for finding where circles
// cross it: the edges in cells of a grid.
type border struct {
	cell  float64
	edges [][2]geom.Point
	cells map[[2]int][]int
}

func newBorder(allowed geom.Shape, cell float64) *border {
	b := &border{cell: cell, cells: map[[2]int][]int{}}
	for _, r := range allowed.Rings {
		for i, p := range r {
			b.add(p, r[(i+1)%len(r)])
		}
	}
	return b
}

// add enters an edge into every cell that its box meets, long edges cut first
// so that a slanted one does not fill a square of cells.
func (b *border) add(p, q geom.Point) {
	n := int(math.Ceil(p.Dist(q) / (2 * b.cell)))
	for k := range max(n, 1) {
		e := [2]geom.Point{p, q}
		if n > 1 {
			e = [2]geom.Point{p.Lerp(q, float64(k)/float64(n)), p.Lerp(q, float64(k+1)/float64(n))}
		}
		id := len(b.edges)
		b.edges = append(b.edges, e)
		x0, y0 := b.at(math.Min(e[0].X, e[1].X)), b.at(math.Min(e[0].Y, e[1].Y))
		x1, y1 := b.at(math.Max(e[0].X, e[1].X)), b.at(math.Max(e[0].Y, e[1].Y))
		for x := x0; x <= x1; x++ {
			for y := y0; y <= y1; y++ {
				b.cells[[2]int{x, y}] = append(b.cells[[2]int{x, y}], id)
			}
		}
	}
}

func (b *border) at(v float64) int { return int(math.Floor(v / b.cell)) }

// vertices gives the vertices of the border.
func (b *border) vertices() []geom.Point {
	out := make([]geom.Point, 0, len(b.edges))
	for _, e := range b.edges {
		out = append(out, e[0])
	}
	return out
}

// cross calls f with each point of the border at distance r from c, r no more
// than a cell.
func (b *border) cross(c geom.Point, r float64, f func(geom.Point)) {
	for x := b.at(c.X - r); x <= b.at(c.X+r); x++ {
		for y := b.at(c.Y - r); y <= b.at(c.Y+r); y++ {
			for _, id := range b.cells[[2]int{x, y}] {
				crossEdge(b.edges[id], c, r, f)
			}
		}
	}
}

// crossEdge calls f with each point of a segment at distance r from c.
func crossEdge(e [2]geom.Point, c geom.Point, r float64, f func(geom.Point)) {
	d, g := e[1].Sub(e[0]), e[0].Sub(c)
	qa, qb, qc := d.Len2(), g.Dot(d), g.Len2()-r*r
	disc := qb*qb - qa*qc
	if disc < 0 || qa == 0 {
		return
	}
	root := math.Sqrt(disc)
	for _, u := range [...]float64{(-qb - root) / qa, (-qb + root) / qa} {
		if u >= 0 && u <= 1 {
			f(e[0].Lerp(e[1], u))
		}
	}
}
