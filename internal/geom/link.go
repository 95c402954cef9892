package geom

import (
	"cmp"
	"math"
	"slices"
)

// rings links the edges between kept and other areas into simple rings, the kept
// area on the Perp side. At a vertex with several ways on it takes the one that
// bounds the same wedge of the area; a ring that comes back to a vertex is cut off
// there. So rings touch in vertices but never cross, and every face has one outer ring.
func (m *arrangement) rings(keep func(w [2]int32) bool) [][]int32 {
	next := m.successors(keep)
	var rings [][]int32
	onPath := make([]int32, len(m.vertices)) // 1 + place on the path
	for h := range next {
		var path []int32
		for g := int32(h); next[g] >= 0; {
			v := m.from(g)
			if k := onPath[v]; k > 0 {
				rings = append(rings, cutOff(path[k-1:], onPath))
				path = path[:k-1]
			}
			path = append(path, v)
			onPath[v] = int32(len(path))
			g, next[g] = next[g], -1
		}
		if len(path) > 0 {
			rings = append(rings, cutOff(path, onPath))
		}
	}
	return rings
}

func cutOff(path, onPath []int32) []int32 {
	ring := make([]int32, len(path))
	for i, v := range path {
		ring[i] = v
		onPath[v] = 0
	}
	return ring
}

// successors gives for each half-edge that has the kept area on its Perp side alone
// the one that follows it, −1 for all others.
func (m *arrangement) successors(keep func(w [2]int32) bool) []int32 {
	bounds := make([]bool, len(m.side))
	next := make([]int32, len(m.side))
	for h := range bounds {
		bounds[h] = keep(m.side[h]) && !keep(m.side[h^1])
		next[h] = -1
	}
	for h := range next {
		if !bounds[h] {
			continue
		}
		v := m.to(int32(h))
		fan := m.around[m.first[v]:m.first[v+1]]
		k := int(m.place[h^1] - m.first[v])
		for range fan {
			k = (k + len(fan) - 1) % len(fan)
			if bounds[fan[k]] {
				next[h] = fan[k]
				break
			}
		}
	}
	return next
}

// sliverArea is the area in mm² up to which a ring is nothing but rounding: a square
// of 1 µm. So is a ring with a mean width of under two grid steps.
const sliverArea = 1e-6

// sliver says whether a ring is nothing but rounding, and gives twice its area in
// squares of the grid.
func (m *arrangement) sliver(ring []int32, scale float64) (is bool, twice int64) {
	length := 0.0 // in grid steps, as the area
	for i, v := range ring {
		p, q := m.vertices[v], m.vertices[ring[(i+1)%len(ring)]]
		twice += p.x*q.y - q.x*p.y
		length += math.Hypot(float64(q.x-p.x), float64(q.y-p.y))
	}
	area := math.Abs(float64(twice)) / 2
	return len(ring) < 3 || area <= length || area < sliverArea*scale*scale, twice
}

// outline gives the ring in millimetres, exactly straight points left out where
// only this ring passes.
func (m *arrangement) outline(ring []int32, passes []uint8, scale float64) Ring {
	out := make(Ring, 0, len(ring))
	for i, v := range ring {
		before := m.vertices[ring[(i+len(ring)-1)%len(ring)]]
		p, after := m.vertices[v], m.vertices[ring[(i+1)%len(ring)]]
		if passes[v] > 1 || turn(before, p, after) != 0 {
			out = append(out, fromGrid(p, scale))
		}
	}
	return out.fromLeast()
}

// shape makes the shape of the kept area.
func (m *arrangement) shape(keep func(w [2]int32) bool, scale float64) Shape {
	smallestHole, largestLost := int64(math.MaxInt64), int64(0)
	rings := slices.DeleteFunc(m.rings(keep), func(r []int32) bool {
		is, area := m.sliver(r, scale)
		if is {
			largestLost = max(largestLost, area)
		} else if area < 0 {
			smallestHole = min(smallestHole, -area)
		}
		return is
	})
	passes := make([]uint8, len(m.vertices))
	for _, ring := range rings {
		for _, v := range ring {
			passes[v] = min(passes[v]+1, 2)
		}
	}
	var s Shape
	for _, ring := range rings {
		s.Rings = append(s.Rings, m.outline(ring, passes, scale))
	}
	if largestLost > smallestHole {
		s = s.withoutLooseHoles()
	}
	slices.SortFunc(s.Rings, compareRings)
	return s
}

// comparePoints orders points by x, then y.
func comparePoints(p, q Point) int {
	if c := cmp.Compare(p.X, q.X); c != 0 {
		return c
	}
	return cmp.Compare(p.Y, q.Y)
}

// compareRings orders rings by their first points; those of two rings of a shape may
// be the same, but not the second ones too.
func compareRings(r, s Ring) int {
	if c := comparePoints(r[0], s[0]); c != 0 {
		return c
	}
	return comparePoints(r[1], s[1])
}

// fromLeast gives the ring from its least point on, so that every way to the same
// ring writes it alike.
func (r Ring) fromLeast() Ring {
	least := 0
	for i, p := range r {
		if comparePoints(p, r[least]) < 0 {
			least = i
		}
	}
	return append(append(make(Ring, 0, len(r)), r[least:]...), r[:least]...)
}
