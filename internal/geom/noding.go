package geom

import (
	"cmp"
	"slices"
)

// edge is an undirected edge with a before b in grid order. w counts, for each of
// the two input sets, how often it is travelled from a to b less how often from b to a.
type edge struct {
	a, b snapped
	w    [2]int32
}

const (
	// nodingRounds bounds the rounds of snap rounding on one grid. One is enough by
	// Hobby's proof; the rounds after it check.
	nodingRounds = 6
	// mostEdges is the number of sub-edges above which a coarser grid is taken: so
	// many pieces are no drawing, and memory has an end.
	mostEdges = 4_000_000
)

// merge joins coincident edges and drops those whose travels cancel out.
func merge(edges []edge) []edge {
	slices.SortFunc(edges, func(e, f edge) int {
		if c := compareSnapped(e.a, f.a); c != 0 {
			return c
		}
		return compareSnapped(e.b, f.b)
	})
	out := edges[:0]
	for i := 0; i < len(edges); {
		e := edges[i]
		for i++; i < len(edges) && edges[i].a == e.a && edges[i].b == e.b; i++ {
			e.w[0] += edges[i].w[0]
			e.w[1] += edges[i].w[1]
		}
		if e.w != [2]int32{} {
			out = append(out, e)
		}
	}
	return out
}

// node splits the edges until they meet in common end points only. It says false
// if that takes a coarser grid.
func node(edges []edge) ([]edge, bool) {
	edges = merge(edges)
	for range nodingRounds {
		hot, clean, ok := crossings(edges)
		if clean {
			return edges, true
		}
		if !ok {
			return edges, false
		}
		edges, ok = snapThrough(edges, hot)
		if !ok {
			return edges, false
		}
		edges = merge(edges)
	}
	_, clean, _ := crossings(edges)
	return edges, clean
}

// crossings gives the rounded crossings of the edges. clean says that no two
// edges share more than end points; ok is false if there are too many.
func crossings(edges []edge) (hot []snapped, clean, ok bool) {
	clean = true
	d := divider{edges: edges, pairs: true, visit: func(in, _ []int32) {
		if len(hot) > mostEdges {
			return // too many already: a coarser grid has to be taken
		}
		for k, i := range in {
			for _, j := range in[k+1:] {
				p, crossed, touched := meet(&edges[i], &edges[j])
				if crossed && len(hot) <= mostEdges {
					hot = append(hot, p)
				}
				clean = clean && !touched
			}
		}
	}}
	d.run()
	return hot, clean, len(hot) <= mostEdges
}

// meet compares two edges: crossed with the rounded point if they cross properly;
// touched if they share any point that is not an end point of both.
func meet(e, f *edge) (p snapped, crossed, touched bool) {
	if e.b.x < f.a.x || f.b.x < e.a.x ||
		max(e.a.y, e.b.y) < min(f.a.y, f.b.y) || max(f.a.y, f.b.y) < min(e.a.y, e.b.y) {
		return p, false, false
	}
	fa, fb := turn(e.a, e.b, f.a), turn(e.a, e.b, f.b)
	if fa > 0 && fb > 0 || fa < 0 && fb < 0 {
		return p, false, false
	}
	ea, eb := turn(f.a, f.b, e.a), turn(f.a, f.b, e.b)
	if ea > 0 && eb > 0 || ea < 0 && eb < 0 {
		return p, false, false
	}
	if fa != 0 && fb != 0 && ea != 0 && eb != 0 {
		return crossing(e.a, e.b, f.a, f.b), true, true
	}
	touched = fa == 0 && e.holds(f.a) || fb == 0 && e.holds(f.b) ||
		ea == 0 && f.holds(e.a) || eb == 0 && f.holds(e.b)
	return p, false, touched
}

// holds says whether a point in line with the edge lies strictly between its ends.
func (e *edge) holds(p snapped) bool {
	return e.a.less(p) && p.less(e.b)
}

// stop is a hot pixel on the way of an edge.
type stop struct {
	edge int32
	at   snapped
}

// snapThrough leads every edge through the hot pixels it passes: those of all end
// points and of the crossings (snap rounding, Hobby 1999; Guibas and Marimont 1998).
func snapThrough(edges []edge, hot []snapped) ([]edge, bool) {
	stops := stopsOf(edges, hotPixels(edges, hot))
	if len(stops) > mostEdges {
		return edges, false
	}
	slices.SortFunc(stops, func(s, t stop) int {
		if c := cmp.Compare(s.edge, t.edge); c != 0 {
			return c
		}
		return cmp.Compare(edges[s.edge].along(s.at), edges[t.edge].along(t.at))
	})
	out := make([]edge, 0, len(edges)+len(stops))
	for i, e := range edges {
		from := e.a
		for len(stops) > 0 && int(stops[0].edge) == i {
			out = appendEdge(out, from, stops[0].at, e.w)
			from, stops = stops[0].at, stops[1:]
		}
		out = appendEdge(out, from, e.b, e.w)
	}
	return out, true
}

// hotPixels gives all end points and crossings, each once.
func hotPixels(edges []edge, hot []snapped) []snapped {
	keys := make([]uint64, 0, 2*len(edges)+len(hot))
	for _, e := range edges {
		keys = append(keys, e.a.key(), e.b.key())
	}
	for _, p := range hot {
		keys = append(keys, p.key())
	}
	slices.Sort(keys)
	keys = slices.Compact(keys)
	points := make([]snapped, len(keys))
	for i, k := range keys {
		points[i] = snappedOf(k)
	}
	return points
}

// stopsOf finds the hot pixels that edges pass, their own ends left out; it gives up
// after mostEdges.
func stopsOf(edges []edge, points []snapped) []stop {
	var stops []stop
	d := divider{edges: edges, points: points, visit: func(in, at []int32) {
		if len(stops) > mostEdges {
			return
		}
		for _, i := range in {
			e := &edges[i]
			for _, j := range at {
				if p := points[j]; p != e.a && p != e.b && len(stops) <= mostEdges && throughPixel(e.a, e.b, p) {
					stops = append(stops, stop{i, p})
				}
			}
		}
	}}
	d.run()
	return stops
}

// along orders the pixels that the edge passes: both coordinates run one way
// along a segment, so their sum does.
func (e *edge) along(p snapped) int64 {
	if e.b.y < e.a.y {
		return p.x - p.y
	}
	return p.x + p.y
}

// appendEdge adds the edge travelled from a to b, turned into grid order; an edge
// without length adds nothing.
func appendEdge(edges []edge, a, b snapped, w [2]int32) []edge {
	switch {
	case a == b:
		return edges
	case b.less(a):
		return append(edges, edge{b, a, [2]int32{-w[0], -w[1]}})
	}
	return append(edges, edge{a, b, w})
}
