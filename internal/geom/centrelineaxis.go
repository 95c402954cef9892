package geom

// axis is the dual graph of the Delaunay triangles inside a shape: a node for
// each triangle at its circumcentre, a link across each side that is not a
// piece of outline. It has the shape's topology: one cycle for each hole.
type axis struct {
	o      *outlineSamples
	corner [][3]int
	at     []Point
	radius []float64
	links  [][]axisLink
	alive  []bool
}

// axisLink leads to a node across the side between samples a and b.
type axisLink struct{ to, a, b int }

func newAxis(o *outlineSamples, outline *Boundary) *axis {
	inside := insideTriangles(o)
	g := &axis{o: o}
	id := make([]int, len(inside))
	for t, in := range inside {
		if !in {
			continue
		}
		id[t] = len(g.at)
		c, r := o.tri.Circumcentre(t)
		if !outline.Inside(c) {
			c, r = longestSide(o, t)
		}
		g.at, g.radius = append(g.at, c), append(g.radius, r)
		g.corner = append(g.corner, o.tri.Triangles[t])
		g.alive = append(g.alive, true)
	}
	walls := wallSides(o)
	g.links = make([][]axisLink, len(g.at))
	for t, in := range inside {
		if !in {
			continue
		}
		c := o.tri.Triangles[t]
		for k, n := range o.tri.Neighbours[t] {
			a, b := c[k], c[(k+1)%3]
			if n >= 0 && inside[n] && !walls[o.side(a, b)] && !walls[o.side(b, a)] {
				g.links[id[t]] = append(g.links[id[t]], axisLink{id[n], a, b})
			}
		}
	}
	return g
}

// longestSide gives the middle of a triangle's longest side and half its
// length. It stands in for the circle of a triangle so flat, along the outline,
// that its centre lies outside.
func longestSide(o *outlineSamples, t int) (middle Point, half float64) {
	c := o.tri.Triangles[t]
	for k, a := range c {
		p, q := o.at[a], o.at[c[(k+1)%3]]
		if d := p.Dist(q) / 2; d > half {
			middle, half = p.Lerp(q, 0.5), d
		}
	}
	return middle, half
}

// wallSides are the pieces of outline, in the direction of the rings.
func wallSides(o *outlineSamples) map[uint64]bool {
	walls := make(map[uint64]bool, len(o.at))
	for i, j := range o.next {
		walls[o.side(i, j)] = true
	}
	return walls
}

// insideTriangles floods from the pieces of outline: the triangle on the Perp
// side of one is inside, the one on the other side is not.
func insideTriangles(o *outlineSamples) []bool {
	walls := wallSides(o)
	inside := make([]bool, len(o.tri.Triangles))
	seen := make([]bool, len(o.tri.Triangles))
	var queue []int
	for t, c := range o.tri.Triangles {
		for k, a := range c {
			b := c[(k+1)%3]
			in, out := walls[o.side(a, b)], walls[o.side(b, a)]
			if (in || out) && !seen[t] {
				seen[t], inside[t] = true, in
				queue = append(queue, t)
			}
		}
	}
	for len(queue) > 0 {
		t := queue[0]
		queue = queue[1:]
		c := o.tri.Triangles[t]
		for k, n := range o.tri.Neighbours[t] {
			a, b := c[k], c[(k+1)%3]
			if n >= 0 && !seen[n] && !walls[o.side(a, b)] && !walls[o.side(b, a)] {
				seen[n], inside[n] = true, inside[t]
				queue = append(queue, n)
			}
		}
	}
	return inside
}

// degree counts the links of a node to nodes that are alive.
func (g *axis) degree(v int) int {
	n := 0
	for _, l := range g.links[v] {
		if g.alive[l.to] {
			n++
		}
	}
	return n
}

// sieve takes away every side branch that reaches out of the disc where it
// starts by no more than the share of its radius, however it forks.
func (g *axis) sieve(share float64) {
	order, parent := g.peel()
	reach := append([]float64(nil), g.radius...)
	dropped := make([]bool, len(g.at))
	for _, v := range order {
		u := parent[v]
		far := g.at[v].Dist(g.at[u]) + reach[v]
		if far-g.radius[u] <= share*g.radius[u] {
			dropped[v] = true
		} else {
			reach[u] = max(reach[u], far)
		}
	}
	for i := len(order) - 1; i >= 0; i-- {
		v := order[i]
		if dropped[v] || !g.alive[parent[v]] {
			g.alive[v] = false
		}
	}
}

// peel takes leaves off the graph one after the other until only cycles, and
// the largest disc of each part without one, are left. It gives the nodes in
// the order taken and the node that each hung on.
func (g *axis) peel() (order, parent []int) {
	degree := make([]int, len(g.at))
	parent = make([]int, len(g.at))
	for v := range g.at {
		degree[v] = len(g.links[v])
	}
	root := g.treeRoots()
	taken := make([]bool, len(g.at))
	var queue []int
	for v, d := range degree {
		if d == 1 && !root[v] {
			queue = append(queue, v)
		}
	}
	for len(queue) > 0 {
		v := queue[0]
		queue = queue[1:]
		taken[v] = true
		order = append(order, v)
		for _, l := range g.links[v] {
			if taken[l.to] {
				continue
			}
			parent[v] = l.to
			degree[l.to]--
			if degree[l.to] == 1 && !root[l.to] {
				queue = append(queue, l.to)
			}
		}
	}
	return order, parent
}

// treeRoots marks the largest disc of each connected part that has no cycle.
func (g *axis) treeRoots() []bool {
	root := make([]bool, len(g.at))
	seen := make([]bool, len(g.at))
	for s := range g.at {
		if seen[s] {
			continue
		}
		seen[s] = true
		part := []int{s}
		ends, best := 0, s
		for i := 0; i < len(part); i++ {
			v := part[i]
			ends += len(g.links[v])
			if g.radius[v] > g.radius[best] {
				best = v
			}
			for _, l := range g.links[v] {
				if !seen[l.to] {
					seen[l.to] = true
					part = append(part, l.to)
				}
			}
		}
		root[best] = ends/2 < len(part)
	}
	return root
}
