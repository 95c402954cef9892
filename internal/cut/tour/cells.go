package tour

import (
	"cmp"
	"math"
	"slices"

	"brushfall/internal/geom"
)

// neighbours is how many near points a change looks at in any case, and
// perQuadrant how many in each quadrant round a point: together about the
// numbers of Johnson and McGeoch, "The traveling salesman problem: a case study
// in local optimization" (1997).
const (
	neighbours  = 6
	perQuadrant = 2
)

// farthest is how many cells away the nearest of a quadrant are looked for: at
// the border of very many points there are none, however far one looks.
const (
	farthest   = 40
	everywhere = math.MaxInt
)

// cells is a square grid of about two of its members a cell.
type cells struct {
	points  []geom.Point
	box     geom.Box
	size    float64
	columns int
	rows    int
	first   []int32 // of each cell in members, and one more at the end
	members []int32
}

// newCells puts those of the points that are named into a grid.
func newCells(points []geom.Point, named []int32) *cells {
	some := make([]geom.Point, len(named))
	for k, i := range named {
		some[k] = points[i]
	}
	b := geom.Bounds(some)
	g := &cells{points: points, box: b}
	n := float64(max(len(named), 1))
	g.size = max(math.Sqrt(b.Width()*b.Height()*2/n), max(b.Width(), b.Height())/n, 1e-6)
	g.columns = int(b.Width()/g.size) + 1
	g.rows = int(b.Height()/g.size) + 1
	g.first = make([]int32, g.columns*g.rows+1)
	for _, i := range named {
		g.first[g.cell(i)+1]++
	}
	for k := 1; k < len(g.first); k++ {
		g.first[k] += g.first[k-1]
	}
	g.members = make([]int32, len(named))
	free := append([]int32(nil), g.first...)
	for _, i := range named {
		c := g.cell(i)
		g.members[free[c]] = i
		free[c]++
	}
	return g
}

func (g *cells) cell(i int32) int {
	p := g.points[i]
	return g.row(p.Y)*g.columns + g.column(p.X)
}

func (g *cells) column(x float64) int {
	return min(max(int((x-g.box.MinX)/g.size), 0), g.columns-1)
}

func (g *cells) row(y float64) int {
	return min(max(int((y-g.box.MinY)/g.size), 0), g.rows-1)
}

// nearest gives up to k members nearest to a point that lies in the grid's box,
// nearest first, ties by number, without those that skip names and those more
// than so many cells away.
func (g *cells) nearest(i int32, k, cells int, skip func(int32) bool) []int32 {
	p := g.points[i]
	best := closest{most: k}
	c, r := g.column(p.X), g.row(p.Y)
	for ring := 0; ring <= min(cells, max(g.columns, g.rows)); ring++ {
		g.ring(c, r, ring, func(j int32) {
			if d := g.points[j].Dist2(p); best.wants(d, j) && !skip(j) {
				best.add(d, j)
			}
		})
		// What is farther out lies at least this far away.
		reach := float64(ring) * g.size
		if len(best.found) == k && best.worst() <= reach*reach {
			break
		}
	}
	return best.found
}

// ring visits the members of the cells at the given distance, in cells, from c, r.
func (g *cells) ring(c, r, distance int, visit func(int32)) {
	for y := max(r-distance, 0); y <= min(r+distance, g.rows-1); y++ {
		step := 1
		if y != r-distance && y != r+distance {
			step = 2 * distance // between the ring's top and bottom only its two sides
		}
		for x := c - distance; x <= c+distance; x += step {
			if x < 0 || x >= g.columns {
				continue
			}
			at := y*g.columns + x
			for _, j := range g.members[g.first[at]:g.first[at+1]] {
				visit(j)
			}
		}
	}
}

// closest keeps the most nearest points that it is given, nearest first.
type closest struct {
	most  int
	found []int32
	away  []float64
}

func (b *closest) worst() float64 { return b.away[len(b.away)-1] }

// wants says whether a point at a squared distance is among the nearest.
func (b *closest) wants(d float64, j int32) bool {
	n := len(b.found)
	return n < b.most || d < b.worst() || (d == b.worst() && j < b.found[n-1])
}

func (b *closest) add(d float64, j int32) {
	if len(b.found) == b.most {
		b.found, b.away = b.found[:b.most-1], b.away[:b.most-1]
	}
	at := len(b.found)
	b.found, b.away = append(b.found, j), append(b.away, d)
	for ; at > 0 && (d < b.away[at-1] || (d == b.away[at-1] && j < b.found[at-1])); at-- {
		b.found[at], b.away[at] = b.found[at-1], b.away[at-1]
	}
	b.found[at], b.away[at] = j, d
}

// nearLists gives the nearest other points of each point, nearest first, and
// after them the nearest of each quadrant round it that holds more: drilling
// tours have clusters whose points would else know none outside (Johnson and
// McGeoch 1997 speak of quadrant neighbours).
func nearLists(points []geom.Point) [][]int32 {
	all := make([]int32, len(points))
	for i := range all {
		all[i] = int32(i)
	}
	g := newCells(points, all)
	lists := make([][]int32, len(points))
	for _, i := range all {
		near := g.nearest(i, neighbours, everywhere, func(j int32) bool { return j == i })
		for q := range 4 {
			for _, j := range g.nearest(i, perQuadrant, farthest, func(j int32) bool { return j == i || quadrant(points[i], points[j]) != q }) {
				if !slices.Contains(near, j) {
					near = append(near, j)
				}
			}
		}
		slices.SortStableFunc(near, func(a, b int32) int { return cmp.Compare(points[a].Dist2(points[i]), points[b].Dist2(points[i])) })
		lists[i] = near
	}
	return lists
}

// quadrant says in which quarter of the plane round p a point lies.
func quadrant(p, q geom.Point) int {
	switch {
	case q.X > p.X && q.Y >= p.Y:
		return 0
	case q.X <= p.X && q.Y > p.Y:
		return 1
	case q.X < p.X && q.Y <= p.Y:
		return 2
	}
	return 3
}
