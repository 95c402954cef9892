package geom

import (
	"math"
	"slices"
)

// Triangulation is a Delaunay triangulation. Triangles hold indices into the
// points given, in the sense of positive shoelace area, in a stable order.
// Neighbours[t][k] is the triangle across the side from corner k to corner
// k+1 of triangle t, −1 on the hull. Same[i] is the index of the first point
// that shares the place of point i, i itself for most; only first points are
// corners.
type Triangulation struct {
	Points     []Point
	Triangles  [][3]int
	Neighbours [][3]int
	Same       []int
}

// Snapping of points before the exact tests. snapBits keeps every product of
// the in-circle test within 128 bits. The grid is snapGrid halved as often as
// that allows, snapHalvings at most: areas are rounded to snapGrid, so their
// points fall on it exactly. Only extents beyond 5 m have a coarser one.
const (
	snapGrid     = 1e-5
	snapHalvings = 10
	snapBits     = 29
)

// Delaunay triangulates points in O(n log n), by divide and conquer with exact
// tests on points snapped to 1e-5 mm or finer (Guibas and Stolfi, ACM Trans.
// Graphics 4, 1985). Points at one place are merged. Fewer than three places, or places all
// on one line, give no triangles. Points that are not finite are taken as the
// first point's place.
func Delaunay(points []Point) Triangulation {
	t := Triangulation{Points: points, Same: make([]int, len(points))}
	places := snap(points)
	order := make([]int, len(points))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		if c := places[a].compare(places[b]); c != 0 {
			return c
		}
		return a - b
	})
	m := quadMesh{at: make([]gridPoint, 0, len(points))}
	index := make([]int, 0, len(points))
	for k, i := range order {
		t.Same[i] = i
		if k > 0 && places[i] == places[order[k-1]] {
			t.Same[i] = t.Same[order[k-1]]
			continue
		}
		m.at = append(m.at, places[i])
		index = append(index, i)
	}
	if len(m.at) < 3 {
		return t
	}
	m.edges = make([]halfEdge, 0, edgesEach*len(m.at))
	m.divide(0, len(m.at))
	t.collect(&m, index)
	return t
}

// edgesEach is how many halves of edges a point takes, those that are removed again
// included: samples of an outline between 10 and 13.
const edgesEach = 13

// snap puts points on a grid, relative to their box.
func snap(points []Point) []gridPoint {
	b := EmptyBox()
	for _, p := range points {
		if finite(p) {
			b = b.Extend(p)
		}
	}
	if b.MaxX < b.MinX {
		return make([]gridPoint, len(points))
	}
	least := max(b.Width(), b.Height()) / (1<<snapBits - 2)
	cell := max(snapGrid, least)
	for i := 0; i < snapHalvings && cell/2 >= least; i++ {
		cell /= 2
	}
	out := make([]gridPoint, len(points))
	for i, p := range points {
		if !finite(p) {
			continue
		}
		out[i] = gridPoint{int64(math.Round((p.X - b.MinX) / cell)), int64(math.Round((p.Y - b.MinY) / cell))}
	}
	return out
}

// snapLimit is far beyond any drawing and keeps the size of a box finite.
const snapLimit = 1e300

// finite says whether both coordinates are numbers that a box can hold.
func finite(p Point) bool { return math.Abs(p.X) <= snapLimit && math.Abs(p.Y) <= snapLimit }

// collect reads the triangles off the mesh: the faces on the left of half edges.
func (t *Triangulation) collect(m *quadMesh, index []int) {
	face := make([]int, len(m.edges))
	for i := range face {
		face[i] = -1
	}
	sides := make([][3]int, 0, 2*len(m.at))
	t.Triangles = make([][3]int, 0, 2*len(m.at))
	for e := range m.edges {
		if m.edges[e].org == removed || face[e] >= 0 {
			continue
		}
		f := m.lnext(e)
		g := m.lnext(f)
		a, b, c := m.org(e), m.org(f), m.org(g)
		if m.lnext(g) != e || orient(m.at[a], m.at[b], m.at[c]) <= 0 {
			continue
		}
		face[e], face[f], face[g] = len(sides), len(sides), len(sides)
		sides = append(sides, [3]int{e, f, g})
		t.Triangles = append(t.Triangles, [3]int{index[a], index[b], index[c]})
	}
	t.Neighbours = make([][3]int, len(sides))
	for i, s := range sides {
		for k, e := range s {
			t.Neighbours[i][k] = face[e^1]
		}
	}
}

// Circumcentre gives the centre of the circle through the corners of triangle
// i and its radius. Corners nearly on one line give a far centre; the radius is
// then large, infinite at worst.
func (t Triangulation) Circumcentre(i int) (Point, float64) {
	c := t.Triangles[i]
	a := t.Points[c[0]]
	b, d := t.Points[c[1]].Sub(a), t.Points[c[2]].Sub(a)
	cross := 2 * b.Cross(d)
	if cross == 0 {
		return a.Lerp(t.Points[c[1]], 0.5), math.Inf(1)
	}
	u := Point{(d.Y*b.Len2() - b.Y*d.Len2()) / cross, (b.X*d.Len2() - d.X*b.Len2()) / cross}
	return a.Add(u), u.Len()
}
