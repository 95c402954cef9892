package cut

import (
	"math"
	"slices"

	"brushfall/internal/geom"
)

// cells is a square grid of about two points a cell.
type cells struct {
	points  []geom.Point
	box     geom.Box
	size    float64
	columns int
	rows    int
	members [][]int
}

func newCells(points []geom.Point) *cells {
	b := geom.Bounds(points)
	g := &cells{points: points, box: b}
	n := float64(max(len(points), 1))
	g.size = max(math.Sqrt(b.Width()*b.Height()*2/n), max(b.Width(), b.Height())/n, 1e-6)
	g.columns = int(b.Width()/g.size) + 1
	g.rows = int(b.Height()/g.size) + 1
	g.members = make([][]int, g.columns*g.rows)
	for i := range points {
		c := g.cell(i)
		g.members[c] = append(g.members[c], i)
	}
	return g
}

func (g *cells) cell(i int) int {
	c, r := g.column(g.points[i].X), g.row(g.points[i].Y)
	return r*g.columns + c
}

func (g *cells) column(x float64) int {
	return min(max(int((x-g.box.MinX)/g.size), 0), g.columns-1)
}

func (g *cells) row(y float64) int {
	return min(max(int((y-g.box.MinY)/g.size), 0), g.rows-1)
}

func (g *cells) remove(i int) {
	c := g.cell(i)
	g.members[c] = slices.DeleteFunc(g.members[c], func(j int) bool { return j == i })
}

// nearest gives up to k members nearest to p, nearest first, ties by index.
func (g *cells) nearest(p geom.Point, k int) []int {
	var found []int
	byDistance := func(a, b int) int {
		if da, db := g.points[a].Dist2(p), g.points[b].Dist2(p); da != db {
			if da < db {
				return -1
			}
			return 1
		}
		return a - b
	}
	c, r := g.column(p.X), g.row(p.Y)
	// Only for a point inside the grid do the rings' cells bound the distance;
	// from outside, as the head is at the start, every ring is looked at.
	inside := g.box.Extend(p) == g.box
	for ring := 0; ring <= max(g.columns, g.rows); ring++ {
		found = g.ring(found, c, r, ring)
		if len(found) < k {
			continue
		}
		slices.SortFunc(found, byDistance)
		reach := float64(ring) * g.size
		if inside && g.points[found[k-1]].Dist(p) <= reach {
			return found[:k]
		}
	}
	slices.SortFunc(found, byDistance)
	return found[:min(k, len(found))]
}

// ring appends the members of the cells at the given distance, in cells, from c, r.
func (g *cells) ring(found []int, c, r, distance int) []int {
	for y := max(r-distance, 0); y <= min(r+distance, g.rows-1); y++ {
		step := 1
		if y != r-distance && y != r+distance {
			step = 2 * distance // between the ring's top and bottom only its two sides
		}
		for x := c - distance; x <= c+distance; x += step {
			if x >= 0 && x < g.columns {
				found = append(found, g.members[y*g.columns+x]...)
			}
		}
	}
	return found
}
