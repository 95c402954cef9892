package geom

import "slices"

// arrangement is a set of edges that meet in end points only, as half-edges: edge
// i runs as half-edge 2i from a to b and as 2i+1 from b to a, so h^1 is its twin.
type arrangement struct {
	vertices []snapped
	edges    []edge
	ends     [][2]int32 // the vertices of each edge, from a to b
	first    []int32    // where the half-edges of a vertex start in around
	around   []int32    // the half-edges leaving each vertex, by rising angle
	place    []int32    // where a half-edge stands in around
	side     [][2]int32 // the winding numbers on the Perp side of each half-edge
}

// arrange sorts the edges round their vertices and finds all winding numbers.
func arrange(edges []edge) *arrangement {
	m := &arrangement{edges: edges}
	m.index()
	m.sortAround()
	m.wind()
	return m
}

func (m *arrangement) index() {
	keys := make([]uint64, 0, 2*len(m.edges))
	for _, e := range m.edges {
		keys = append(keys, e.a.key(), e.b.key())
	}
	slices.Sort(keys)
	keys = slices.Compact(keys)
	m.vertices = make([]snapped, len(keys))
	for i, k := range keys {
		m.vertices[i] = snappedOf(k)
	}
	m.ends = make([][2]int32, len(m.edges))
	m.first = make([]int32, len(keys)+1)
	a := 0 // edges come sorted by a
	for i, e := range m.edges {
		for keys[a] != e.a.key() {
			a++
		}
		b, _ := slices.BinarySearch(keys, e.b.key())
		m.ends[i] = [2]int32{int32(a), int32(b)}
		m.first[a+1]++
		m.first[b+1]++
	}
	for i := range keys {
		m.first[i+1] += m.first[i]
	}
}

func (m *arrangement) sortAround() {
	m.around = make([]int32, 2*len(m.edges))
	m.place = make([]int32, 2*len(m.edges))
	next := slices.Clone(m.first)
	for i, end := range m.ends {
		for k, v := range end {
			m.around[next[v]] = int32(2*i + k)
			next[v]++
		}
	}
	for v := range m.vertices {
		fan := m.around[m.first[v]:m.first[v+1]]
		slices.SortFunc(fan, func(g, h int32) int { return compareAngle(m.vector(g), m.vector(h)) })
		for k, h := range fan {
			m.place[h] = m.first[v] + int32(k)
		}
	}
}

func (m *arrangement) from(h int32) int32 { return m.ends[h>>1][h&1] }
func (m *arrangement) to(h int32) int32   { return m.ends[h>>1][h&1^1] }

func (m *arrangement) vector(h int32) snapped {
	p, q := m.vertices[m.from(h)], m.vertices[m.to(h)]
	return snapped{q.x - p.x, q.y - p.y}
}

// compareAngle orders vectors by angle from −π (excluded) to π: those up to 0 first.
func compareAngle(u, v snapped) int {
	lowU, lowV := u.y < 0 || u.y == 0 && u.x > 0, v.y < 0 || v.y == 0 && v.x > 0
	if lowU != lowV {
		if lowU {
			return -1
		}
		return 1
	}
	switch c := u.x*v.y - u.y*v.x; {
	case c > 0:
		return -1
	case c < 0:
		return 1
	}
	return 0
}

// travelled gives the net travels along half-edge h.
func (m *arrangement) travelled(h int32) [2]int32 {
	w := m.edges[h>>1].w
	if h&1 == 1 {
		return [2]int32{-w[0], -w[1]}
	}
	return w
}

// wind finds the winding numbers on both sides of all edges. Round a vertex, and
// from one side of an edge to the other, they follow from each other; so one ray
// for each connected part is enough, from its first vertex towards −x.
func (m *arrangement) wind() {
	m.side = make([][2]int32, 2*len(m.edges))
	seen := make([]bool, len(m.vertices))
	var rays *rayRows
	var queue []int32
	for v := range m.vertices {
		if seen[v] {
			continue
		}
		var base [2]int32
		if v > 0 {
			if rays == nil {
				rays = newRayRows(m.edges)
			}
			base = rays.before(m.vertices[v])
		}
		// No edge of the part leaves this vertex towards −x, so the wedge behind the
		// last of its half-edges holds the ray.
		seen[v] = true
		m.spread(m.around[m.first[v+1]-1], base)
		queue = append(queue[:0], int32(v))
		for len(queue) > 0 {
			at := queue[len(queue)-1]
			queue = queue[:len(queue)-1]
			for _, h := range m.around[m.first[at]:m.first[at+1]] {
				if next := m.to(h); !seen[next] {
					seen[next] = true
					// The Perp side of the twin is the other side of h.
					w, d := m.side[h], m.travelled(h)
					m.spread(h^1, [2]int32{w[0] - d[0], w[1] - d[1]})
					queue = append(queue, next)
				}
			}
		}
	}
}

// spread sets the winding numbers of all half-edges leaving the vertex of h, given
// that on the Perp side of h.
func (m *arrangement) spread(h int32, w [2]int32) {
	v := m.from(h)
	fan := m.around[m.first[v]:m.first[v+1]]
	start := int(m.place[h] - m.first[v])
	m.side[h] = w
	for k := 1; k < len(fan); k++ {
		h := fan[(start+k)%len(fan)]
		d := m.travelled(h)
		w = [2]int32{w[0] + d[0], w[1] + d[1]}
		m.side[h] = w
	}
}

// rayRows bins edges by y, to count those that a ray crosses.
type rayRows struct {
	edges  []edge
	low    int64
	height int64
	rows   [][]int32
}

func newRayRows(edges []edge) *rayRows {
	low, high, spans := edges[0].a.y, edges[0].a.y, int64(0)
	for _, e := range edges {
		y0, y1 := min(e.a.y, e.b.y), max(e.a.y, e.b.y)
		low, high, spans = min(low, y0), max(high, y1), spans+(y1-y0)
	}
	n := int64(len(edges))
	r := &rayRows{edges: edges, low: low, height: max(1, spans/n, (high-low)/n)}
	r.rows = make([][]int32, (high-low)/r.height+1)
	for i, e := range edges {
		y0, y1 := min(e.a.y, e.b.y), max(e.a.y, e.b.y)
		if y0 == y1 {
			continue
		}
		for k := (y0 - low) / r.height; k <= (y1-low)/r.height; k++ {
			r.rows[k] = append(r.rows[k], int32(i))
		}
	}
	return r
}

// before gives the winding numbers just before p along x (and a shade after it
// along y), counting the edges that the ray towards −x crosses.
func (r *rayRows) before(p snapped) (w [2]int32) {
	for _, i := range r.rows[(p.y-r.low)/r.height] {
		e := &r.edges[i]
		if e.a.x > p.x || (e.a.y <= p.y) == (e.b.y <= p.y) {
			continue
		}
		bend := turn(e.a, e.b, p)
		if falls := e.b.y < e.a.y; falls && bend > 0 {
			// Travelled towards −y the Perp side is the one towards +x.
			w[0], w[1] = w[0]+e.w[0], w[1]+e.w[1]
		} else if !falls && bend < 0 {
			w[0], w[1] = w[0]-e.w[0], w[1]-e.w[1]
		}
	}
	return w
}
