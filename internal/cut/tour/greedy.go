package tour

import (
	"cmp"
	"slices"

	"brushfall/internal/geom"
)

// pieces is a way in the making: separate pieces, whose ends have one link and
// whose lone points none.
type pieces struct {
	links [][2]int32 // −1: no link
	root  []int32    // a union-find forest: one tree a piece
}

// greedy gives a closed way: the shortest edges between near points first, each
// that keeps every point at two edges and closes no circle (Bentley 1992), then
// again between the ends of the pieces that came about, until one is left.
func greedy(points []geom.Point, near [][]int32, kept *edge) []int32 {
	n := len(points)
	p := pieces{make([][2]int32, n), make([]int32, n)}
	for i := range p.root {
		p.links[i], p.root[i] = [2]int32{-1, -1}, int32(i)
	}
	if kept != nil {
		p.join(kept.a, kept.b)
	}
	p.take(points, near)
	for {
		ends := p.ends()
		if len(ends) < 3 {
			break
		}
		p.take(points, p.between(points, ends))
	}
	return p.order()
}

// find gives the piece of a point.
func (p *pieces) find(i int32) int32 {
	for p.root[i] != i {
		p.root[i] = p.root[p.root[i]]
		i = p.root[i]
	}
	return i
}

// join links two points that are ends of different pieces, and says whether
// they were.
func (p *pieces) join(i, j int32) bool {
	a, b := p.find(i), p.find(j)
	if a == b || p.links[i][1] >= 0 || p.links[j][1] >= 0 {
		return false
	}
	p.root[a] = b
	for _, l := range [2]edge{{i, j}, {j, i}} {
		at := 0
		if p.links[l.a][0] >= 0 {
			at = 1
		}
		p.links[l.a][at] = l.b
	}
	return true
}

// take joins along the edges of near, shortest first.
func (p *pieces) take(points []geom.Point, near [][]int32) {
	type candidate struct {
		length float64
		edge
	}
	var all []candidate
	for i, list := range near {
		for _, j := range list {
			if int32(i) < j || !slices.Contains(near[j], int32(i)) {
				all = append(all, candidate{points[i].Dist2(points[j]), edge{int32(i), j}})
			}
		}
	}
	slices.SortFunc(all, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(a.length, b.length), cmp.Compare(a.a, b.a), cmp.Compare(a.b, b.b))
	})
	for _, c := range all {
		p.join(c.a, c.b)
	}
}

// ends gives the points with less than two links, or nothing but them of the
// one piece that is left.
func (p *pieces) ends() []int32 {
	var out []int32
	for i, l := range p.links {
		if l[1] < 0 {
			out = append(out, int32(i))
		}
	}
	return out
}

// between lists for every end the nearest ends of other pieces.
func (p *pieces) between(points []geom.Point, ends []int32) [][]int32 {
	g := newCells(points, ends)
	near := make([][]int32, len(points))
	for _, i := range ends {
		own := p.find(i)
		near[i] = g.nearest(i, neighbours, everywhere, func(j int32) bool { return p.find(j) == own })
	}
	return near
}

// order walks the one piece from an end of it.
func (p *pieces) order() []int32 {
	at := max(slices.IndexFunc(p.links, func(l [2]int32) bool { return l[1] < 0 }), 0)
	out := make([]int32, 0, len(p.links))
	last, here := int32(-1), int32(at)
	for here >= 0 {
		out = append(out, here)
		next := p.links[here][0]
		if next == last {
			next = p.links[here][1]
		}
		last, here = here, next
	}
	return out
}
