package geom

import "math"

// chains gives the paths between nodes of the axis that are no mere points on
// the way, and the loops without such a node. Ends and junctions come first.
func (g *axis) chains() [][]int {
	var out [][]int
	passed := make([]bool, len(g.at))
	for v := range g.at {
		if !g.alive[v] || g.degree(v) == 2 {
			continue
		}
		passed[v] = true
		for _, l := range g.links[v] {
			if !g.alive[l.to] {
				continue
			}
			c := g.walk(v, l.to)
			// A chain is met from both of its ends; keep one of the two.
			last := len(c) - 1
			if v < c[last] || v == c[last] && c[1] < c[last-1] {
				out = append(out, c)
			}
			for _, u := range c {
				passed[u] = true
			}
		}
	}
	for v := range g.at {
		if !g.alive[v] || passed[v] {
			continue
		}
		for _, l := range g.links[v] {
			if g.alive[l.to] {
				c := g.walk(v, l.to)
				out = append(out, c)
				for _, u := range c {
					passed[u] = true
				}
				break
			}
		}
	}
	return out
}

// walk follows the axis from v by way of u to the next end or junction, or
// back to v.
func (g *axis) walk(v, u int) []int {
	c := []int{v, u}
	for last := v; u != v && g.degree(u) == 2; {
		for _, l := range g.links[u] {
			if g.alive[l.to] && l.to != last {
				last, u = u, l.to
				break
			}
		}
		c = append(c, u)
	}
	return c
}

// prune takes away the end branches that reach out of the disc at their
// junction by no more than the share of its radius, and the prongs into the
// two corners of a slanting end: all that do at once, so that a fork loses both
// its prongs, then those of what is left.
func (g *axis) prune(share float64) {
	for share > 0 {
		prongs := g.endBranches()
		slanted := g.slantedEnds(prongs)
		found := false
		for _, c := range prongs {
			last := c[len(c)-1]
			r, limit := g.radius[last], share
			if g.radius[c[0]] >= stubTip*r {
				limit *= stubShare
			}
			if g.reach(c)-r > limit*r && !slanted[c[0]] {
				continue
			}
			for _, v := range c[:len(c)-1] {
				g.alive[v] = false
			}
			found = true
		}
		if !found {
			return
		}
	}
}

// A branch that is still half as wide at its end as at its junction is a short
// arm rather than a corner, and needs half the reach of one to stay.
const (
	stubTip   = 0.5
	stubShare = 0.5
)

// endBranches gives the chains from an end to a junction, the end first.
func (g *axis) endBranches() [][]int {
	var out [][]int
	for _, c := range g.chains() {
		first, last := g.degree(c[0]), g.degree(c[len(c)-1])
		if last == 1 && first > 2 {
			first, last = last, first
			c = reversed(c)
		}
		if first == 1 && last > 2 {
			out = append(out, c)
		}
	}
	return out
}

// Slanting ends of strokes: the two corners make up 180° but for a taper, and
// the sharper is no sharper than a cut at 35° leaves it. A prong into a corner
// ends in a triangle of two pieces of outline, or, where the corner is rounded
// a little, at a radius below tipShare of the junction's.
const (
	slantTaper = 30 * math.Pi / 180
	slantLeast = 35 * math.Pi / 180
	tipShare   = 0.3
)

// slantedEnds marks, by their first nodes, the two prongs into the corners of a
// slanting end at junctions of three. The third branch stays, even where it
// ends too: it is the stroke.
func (g *axis) slantedEnds(prongs [][]int) map[int]bool {
	sum, ends := map[int]float64{}, map[int][]int{}
	for _, c := range prongs {
		last := c[len(c)-1]
		reach, r := g.reach(c), g.radius[last]
		corner := 2 * math.Asin(min(1, r/reach))
		tip := len(g.links[c[0]]) == 1 || g.radius[c[0]] < tipShare*r
		if g.degree(last) == 3 && tip && corner >= slantLeast {
			sum[last] += corner
			ends[last] = append(ends[last], c[0])
		}
	}
	out := map[int]bool{}
	for v, pair := range ends {
		if len(pair) == 2 && sum[v] >= math.Pi-slantTaper {
			out[pair[0]], out[pair[1]] = true, true
		}
	}
	return out
}

func reversed(c []int) []int {
	out := make([]int, len(c))
	for i, v := range c {
		out[len(c)-1-i] = v
	}
	return out
}

// reach says how far the discs along a chain reach from its last node.
func (g *axis) reach(c []int) float64 {
	way, far := 0.0, 0.0
	for i := len(c) - 2; i >= 0; i-- {
		way += g.at[c[i]].Dist(g.at[c[i+1]])
		far = max(far, way+g.radius[c[i]])
	}
	return far
}

// skeleton turns what is left of the axis into nodes and arcs, every point
// moved to be equally far from the outline on its sides.
func (g *axis) skeleton() Skeleton {
	var sk Skeleton
	id := map[int]int{}
	node := func(v int) int {
		if _, ok := id[v]; !ok {
			id[v] = len(sk.Nodes)
			sk.Nodes = append(sk.Nodes, SkeletonNode{Point: g.settleNode(v), Radius: g.radius[v]})
		}
		return id[v]
	}
	for _, c := range g.chains() {
		last := len(c) - 1
		a := SkeletonArc{From: node(c[0]), To: node(c[last])}
		a.Closed = a.From == a.To && g.degree(c[0]) == 2
		a.Points = append(a.Points, sk.Nodes[a.From].Point)
		for i := 0; i < last; i++ {
			a.Points = append(a.Points, g.settleLink(c[i], c[i+1]))
		}
		a.Points = append(a.Points, sk.Nodes[a.To].Point)
		sk.Arcs = append(sk.Arcs, a)
	}
	for v := range g.at {
		if g.alive[v] && g.degree(v) == 0 {
			node(v)
		}
	}
	return sk
}

// Settling: settleRounds of Newton's method, on directions to the outline that
// differ by more than about settleSpread radians; settleReach bounds the move
// as a share of the radius, beyond which the sites were not what they seemed.
const (
	settleRounds = 4
	settleSpread = 0.2
	settleReach  = 0.25
)

// settleLink gives the point between two linked nodes that is equally far from
// the outline on both sides.
func (g *axis) settleLink(v, u int) Point {
	p := g.at[v].Lerp(g.at[u], 0.5)
	for _, l := range g.links[v] {
		if l.to != u {
			continue
		}
		q := p
		for i := 0; i < settleRounds; i++ {
			f, h := g.o.foot(q, l.a), g.o.foot(q, l.b)
			df, dh := q.Dist(f), q.Dist(h)
			across := h.Sub(f).Len()
			if across <= settleSpread*(df+dh) {
				break
			}
			q = q.Add(h.Sub(f).Unit().Mul((dh - df) * (df + dh) / across / 2))
		}
		if q.Dist(p) <= settleReach*max(g.radius[v], g.radius[u]) {
			return q
		}
	}
	return p
}

// settleNode gives the point near a node that is equally far from the outline
// at the node's three sites.
func (g *axis) settleNode(v int) Point {
	p := g.at[v]
	for i := 0; i < settleRounds; i++ {
		var n [3]Point
		var d [3]float64
		for k, s := range g.corner[v] {
			away := p.Sub(g.o.foot(p, s))
			n[k], d[k] = away.Unit(), away.Len()
		}
		a, b := n[1].Sub(n[0]), n[2].Sub(n[0])
		cross := a.Cross(b)
		if math.Abs(cross) < settleSpread*settleSpread {
			break
		}
		e, f := d[0]-d[1], d[0]-d[2]
		p = p.Add(Point{(e*b.Y - f*a.Y) / cross, (f*a.X - e*b.X) / cross})
	}
	if p.Dist(g.at[v]) > settleReach*g.radius[v] {
		return g.at[v]
	}
	return p
}
